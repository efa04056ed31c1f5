// Package mqtt sends what the record holds to an MQTT 3.1.1 broker, and takes
// commands and forecasts from it. Topics and documents are described in messages.json, an
// AsyncAPI document, and for people in MESSAGES.md; a test holds real messages
// against it.
//
// # What goes out
//
// The record and its open batch are followed by two cursors, one over events
// and one over readings; there is no other queue. All events go before each
// page of readings, so an alert never waits behind a backlog of readings.
// Everything is sent with QoS 1, a window of messages at a time, and a cursor
// moves only over rows the broker has acknowledged, and over alerts only when it has
// passed them on too (see echoes). Cursors are kept in the
// record itself: after a crash a row may come again, none is left out.
//
// A repeat of an event has the number ("seq") and the time of the first; a
// repeat of a reading has its time. The number alone does not do: a number
// that was sent but not on the disk yet when the power failed is given anew.
//
// Stated bounds: Options.Backlog readings and Options.Events events wait for a
// broker that is away. Beyond that the oldest are passed over, counted, and an
// event of the daemon says how many.
//
// A broker has bounds of its own: Mosquitto, as it comes, keeps 1,000 messages
// for a subscriber and drops what is beyond, acknowledged or not. Raise
// max_queued_messages there where a subscriber must get all of a long backlog.
//
// # One connection, one client
//
// Each connection has its own paho client without automatic reconnection, and a
// lost one is replaced. paho's own resending keeps no order (retained documents
// could end up with an old one last) and leaves the tokens of a lost
// connection open; this way they fail at once and everything not acknowledged
// is sent again from the cursor, in order.
//
// # What comes in
//
// Commands wait in a short queue and are handed to the loop one by one. Retained
// commands are refused: they would be carried out again at each connection.
// Commands sent while the daemon is away are lost (clean session), which is
// wanted: nobody expects a pump to start hours later. Forecasts of the weather may be
// retained; the newest counts, and a bad one is logged once and otherwise passed over.
//
// # What it does not do
//
// No TLS yet: use a broker on the same computer or a network you trust. The
// broker, not this package, decides who may send commands. Nothing here blocks
// the loop.
//
// Sources: MQTT 3.1.1, OASIS Standard, 2014 (§3.1.2.5 will, §3.3.1.3 retain,
// §4.3.2 QoS 1), from memory, unverified; measurements with this client and
// broker stand in the tests.
package mqtt
