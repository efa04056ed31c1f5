// Package record keeps the past: readings, decisions with their reasons,
// alerts, settings changed and orders given by hand, in one SQLite file. It is
// the one source of everything that leaves the daemon later: messages, export
// and page read from it, so an outage of any of them is only a reader that is
// behind.
//
// Readings are one wide row a tick, gathered in an open batch and committed at
// least every minute. Everything else is an event and is committed at once,
// together with the open batch before it. Commits are synchronous in full: what
// was committed survives a power cut; a crash loses at most the open batch.
//
// Readers see the open batch too, so what is published live and what is
// replayed after an outage come through the same door.
//
// Append never waits for the disk. Where the disk fails, rows wait in memory up
// to a bound, the oldest readings are dropped first and counted, and Err tells.
package record
