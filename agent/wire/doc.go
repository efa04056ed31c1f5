// Package wire holds the JSON documents that leave and enter the daemon: by
// MQTT, by its local socket and in the record's events. One document is one
// line. Field names end in their unit (tank_c, charge_pct); times are RFC 3339
// in UTC; every document says whether it is of a simulated run.
//
// Commands and forecasts are decoded strictly: unknown and repeated fields, trailing
// text and documents over 4 kB (forecasts: 16 kB) are refused.
package wire
