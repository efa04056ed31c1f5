// Package senml writes, reads and resolves Sensor Measurement Lists in their
// JSON form: RFC 8428, "Sensor Measurement Lists (SenML)", August 2018. The
// sections named in this package are that document's, read in a public copy of
// its text from the month before.
//
// A Pack is a list of Records. Base fields of a record hold for it and for
// those after it until given anew (§4.1). Times are seconds: a sum of base time
// and time below 2^28 is relative to now, any other is seconds since 1970 in
// UTC (§4.5.3). Units are symbols of IANA's SenML registry (§12.1) and are not
// converted.
//
// Not here: CBOR, XML and EXI forms, streams (SensML), fragment identifiers,
// and the secondary units of RFC 8798, which are not for SenML packs.
package senml
