package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Samples are the last three that the battery's meter gave, so that no single
// one decides anything. A sample that merely grew older is not taken twice: a
// noisy one would otherwise count for as long as it stands.
type Samples struct {
	Rest   [3]quantity.Volt   // freed of load
	Amps   [3]quantity.Ampere // measured, or what pump and fans should draw
	Count  int                // how many of them are filled
	Age    time.Duration      // of the latest
	Since  time.Duration      // passed since the latest was taken in
	Fresh  bool               // this step brought one
	Span   time.Duration      // the time that the fresh one stands for
	Unseen time.Duration      // how long the voltage has been unknown; survives a restart
}

// pass takes in a sample if there is a new one.
func (m Samples) pass(d time.Duration, v *view) Samples {
	if !v.rest.ok {
		unseen := m.Unseen + d
		if v.in.Meter.HasVolts {
			unseen = max(unseen, v.in.Meter.Age)
		}
		return Samples{Unseen: unseen}
	}
	age := v.in.Meter.Age
	m.Fresh = m.Count == 0 || age < m.Age+d // the same one has aged by all of d
	m.Unseen, m.Age, m.Since, m.Span = 0, age, m.Since+d, 0
	if !m.Fresh {
		return m
	}
	m.Span, m.Since = m.Since, 0
	m.Rest = [3]quantity.Volt{v.rest.v, m.Rest[0], m.Rest[1]}
	m.Amps = [3]quantity.Ampere{v.rest.amps, m.Amps[0], m.Amps[1]}
	m.Count = min(m.Count+1, len(m.Rest))
	return m
}

// settled says that three samples are there, so that a median means something.
func (m *Samples) settled() bool { return m.Count == len(m.Rest) }

// volts is the median rest voltage; before three samples, the latest.
func (m *Samples) volts() quantity.Volt {
	if !m.settled() {
		return m.Rest[0]
	}
	return median(m.Rest)
}

// amps is the median current; before three samples, the latest.
func (m *Samples) amps() quantity.Ampere {
	if !m.settled() {
		return m.Amps[0]
	}
	return median(m.Amps)
}

func median[T ~float64](x [3]T) T {
	return max(min(x[0], x[1]), min(max(x[0], x[1]), x[2]))
}
