package control

import (
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// Place is where a probe can be in a loop.
type Place int

// The places of a loop. Tank, Coil and Return touch the liquid.
const (
	Tank Place = iota
	Coil
	Return
	Tunnel
	Bed
	Greenhouse
	Outdoors
	Places // how many there are
)

// String is the word for the place in file, record, topic and page.
func (p Place) String() string {
	if p < 0 || p >= Places {
		return "no-place"
	}
	return [Places]string{"tank", "coil", "return", "tunnel", "bed", "greenhouse", "outdoors"}[p]
}

// Trouble says what is wrong with a probe's latest attempt.
type Trouble int

// The troubles a probe can have.
const (
	NoTrouble Trouble = iota
	Lost              // nothing there, failed, CRC: no value at all
	Doubted           // a value came and is not believed
)

// Temperature is what is known of one place.
type Temperature struct {
	Value   quantity.Celsius // last believed
	Age     time.Duration    // of Value
	Ever    bool             // a value was believed at least once
	Trouble Trouble          // of the latest attempt
	Cause   string           // of the trouble, in words
	Suspect quantity.Celsius // a Doubted value that may yet prove true
}

// Meter is what is known of the battery.
type Meter struct {
	Volts    quantity.Volt
	Amps     quantity.Ampere // positive charges
	HasVolts bool            // a voltage was believed at least once
	HasAmps  bool            // the latest sample carries a current
	Age      time.Duration   // of Volts
	Cause    string          // of trouble, in words; empty when well
}

// Panel is what is known of the panel that heats the tank.
type Panel struct {
	Volts quantity.Volt // at the panel's end of the element's cable
	Has   bool          // a voltage was believed at least once
	Age   time.Duration // of Volts
	Cause string        // of trouble, in words; empty when well or not wired
}

// Level is what the tank's level switch says.
type Level int

// The states of the level switch.
const (
	LevelNotFitted Level = iota
	LevelGood
	LevelLow
)

// Inputs is everything one step may know.
type Inputs struct {
	Elapsed      time.Duration // since the last step, by a clock that never jumps
	ClockTrusted bool          // wall time has been set since boot
	Places       [Places]Temperature
	Meter        Meter
	Panel        Panel
	Level        Level
	Orders       []Order // by hand, new since the last step
	Tonight      night.Advice
	RecordFails  bool // the record could not be written
	BrokerFails  bool // the broker could not be reached
}

// longestStep bounds what one step may add to timers: a process that was
// stopped for an hour must not earn an hour of proof or of charge.
// What the grower ordered for a time ends at its time all the same.
const longestStep = 10 * time.Minute

// clean makes everything that is not an ordinary number unknown.
func (in *Inputs) clean() {
	in.Elapsed = max(in.Elapsed, 0)
	for i := range in.Places {
		in.Places[i].clean()
	}
	if a := &in.Tonight; !(a.Duty >= 0 && a.Duty <= 1) || !sane(a.Level) {
		a.Way, a.Duty, a.Level = night.Waiting, 0, 0
	}
	p := &in.Panel
	p.Age, p.Has = max(p.Age, 0), p.Has && sane(p.Volts)
	if !p.Has {
		p.Volts = 0
	}
	m := &in.Meter
	m.Age = max(m.Age, 0)
	m.HasVolts = m.HasVolts && sane(m.Volts)
	m.HasAmps = m.HasAmps && sane(m.Amps)
	if !m.HasVolts {
		m.Volts = 0
	}
	if !m.HasAmps {
		m.Amps = 0
	}
}

// sane bounds every number far outside what a greenhouse has, so that no sum or
// difference of two can overflow. NaN fails both comparisons.
func sane[T ~float64](x T) bool { return x > -1000 && x < 1000 }

func (t *Temperature) clean() {
	t.Age = max(t.Age, 0)
	if !sane(t.Value) {
		t.Value, t.Ever, t.Trouble = 0, false, Doubted
		t.Cause = "not a number"
	}
	if t.Trouble != Doubted || !sane(t.Suspect) {
		t.Suspect = -273 // colder than any limit: suspects nothing
	}
}
