package sensors

import "fmt"

// Cause says why a reading is what it is. Good is the only cause of a value
// that may be believed.
type Cause int

// The causes, from a driver or from the Judge. The zero value is NotYet, so a
// reading that nobody filled in is never taken for a good one.
const (
	// NotYet: never read since the start.
	NotYet Cause = iota
	// Good: read, whole, and plausible.
	Good
	// NothingThere: the bus works and no such device is on it.
	NothingThere
	// Failed: the device or its bus answered with an error.
	Failed
	// TimedOut: no answer before the deadline; the read may still be running.
	TimedOut
	// Empty: the kernel gave an empty text, its way of saying that the probe
	// did not answer or its checksum failed.
	Empty
	// BadCRC: bytes arrived and their checksum is wrong.
	BadCRC
	// StuckLow: the data line is held low; every byte reads zero, which has a
	// valid checksum and looks like 0.000 °C.
	StuckLow
	// AllOnes: nobody drives the data line, every bit reads one; also -127 °C,
	// the mark some adapters put in place of a missing answer.
	AllOnes
	// PowerOn: 85.000 °C with the marks of a probe that started anew and has
	// not measured, and no recent reading near it.
	PowerOn
	// LowPower: 127.94 °C, the probe's supply failed during the measurement.
	LowPower
	// OutOfRange: outside what the place, or the part, can have.
	OutOfRange
	// Jump: changed faster than the place can, and not yet confirmed.
	Jump
	// Frozen: the same value for hours while other probes moved.
	Frozen
)

// causes holds the plain words in the order of the constants.
var causes = [...]string{
	NotYet:       "not read yet",
	Good:         "good",
	NothingThere: "nothing there",
	Failed:       "failed",
	TimedOut:     "no answer in time",
	Empty:        "empty answer",
	BadCRC:       "checksum wrong",
	StuckLow:     "line stuck low",
	AllOnes:      "line reads all ones",
	PowerOn:      "power-on value",
	LowPower:     "supply too low",
	OutOfRange:   "out of range",
	Jump:         "impossible jump",
	Frozen:       "frozen",
}

// String is the cause in plain words.
func (c Cause) String() string {
	if c < 0 || int(c) >= len(causes) {
		return fmt.Sprintf("cause %d", int(c))
	}
	return causes[c]
}

// Quality sorts the causes by what a reader may do with the value.
type Quality int

// Bad carries no value, Doubtful carries one that is not believed, Good one
// that is.
const (
	QualityBad Quality = iota
	QualityDoubtful
	QualityGood
)

// String is the quality in one word.
func (q Quality) String() string {
	switch q {
	case QualityGood:
		return "good"
	case QualityDoubtful:
		return "doubtful"
	}
	return "bad"
}

// Quality of a reading with this cause. Unknown causes are bad.
func (c Cause) Quality() Quality {
	switch c {
	case Good:
		return QualityGood
	case PowerOn, OutOfRange, Jump, Frozen:
		return QualityDoubtful
	}
	return QualityBad
}
