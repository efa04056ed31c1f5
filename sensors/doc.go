// Package sensors turns what the probes and the battery meter say into
// readings that carry their own age, quality and cause, and judges which of
// them are believed.
//
// It has three parts. Readings and causes are the words that every driver
// speaks (reading.go, cause.go). The Poller asks all devices at a steady pace,
// each with a deadline, so that a slow, dead or wedged one neither delays nor
// stops the others (poller.go). The Judge decides what is believed from a
// probe's limits and its own past (judge.go).
//
// Temperatures are quantity.Celsius, volts and amperes are the battery's, with
// a charging current positive. Times keep Go's monotonic part, so an age stays
// right when the wall clock is set.
//
// It does not decide when a believed value is too old to act on: the consumer
// does, with Belief.Age. It names probes, not places: which probe sits in the
// tank is for the caller to know. It opens no bus and writes no log.
//
// Drivers live below: onewire (the kernel's 1-Wire tree) and ina219 (battery
// meter). tape records and replays what they exchange with the hardware;
// devicemodel imitates parts at register level for tests.
package sensors
