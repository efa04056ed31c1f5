// Package phone tells the grower's telephone of alerts: one HTTPS POST of plain text to
// an address that the grower's own message service gives out. It is off until a secret
// file names that address.
//
// It reads alerts from the record, behind a cursor that the record keeps, so that an
// outage of network or service, or a restart, only makes it late. An alert that is
// raised is told once; if an answer is lost on the way it may be told twice, under the
// same Idempotency-Key.
//
// What hurts (critical and graver) is told at once, at any hour. The rest waits in quiet
// hours, and is told no more often than the settings say; what has waited comes in one
// message.
//
// A telephone may be off, and a message lost: it is a convenience, no safeguard.
package phone
