package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// BatteryGuard holds the two thresholds of the battery: cut-off by voltage
// with a delay, reserve by charge with hysteresis.
type BatteryGuard struct {
	CutOff  bool
	Below   time.Duration // how long at or below cut-off
	Above   time.Duration // how long at or above reconnect
	Sparing bool
	Loads   quantity.Ampere // drawn by pump and fans at the last step, for a meter without current
}

// restVoltage is the battery's voltage freed of what load or charge adds over
// its internal resistance: V - I·R, I positive when charging (Ohm's law; the
// form V_rest ≈ V + I·R of a discharging battery). Without a current it takes
// what pump and fans should draw.
func restVoltage(s *Settings, st *State, in *Inputs) battery {
	if !in.Meter.HasVolts || in.Meter.Age > s.StaleAfter {
		return battery{}
	}
	amps := in.Meter.Amps
	if !in.Meter.HasAmps {
		amps = -st.Battery.Loads
	}
	drop := quantity.Volt(float64(amps) * float64(s.Battery.Resistance))
	return battery{v: in.Meter.Volts - drop, amps: amps, ok: true}
}

// pass moves the cut-off's delays and the reserve on.
func (g BatteryGuard) pass(v *view) BatteryGuard {
	b := v.s.Battery
	m := &v.st.Samples
	// A lone high sample must not restart the way to cut-off, nor open the way
	// back: for the first either the sample or the median must be low, for the
	// second both must be high. A sample that only grew older has no span.
	lower := min(v.rest.v, m.volts())
	g.Below = held(g.Below, m.Span, v.rest.ok && lower <= v.floors.cutOff)
	g.Above = held(g.Above, m.Span, v.rest.ok && lower >= v.floors.reconnect)
	switch {
	case g.Below >= b.Delay:
		g.CutOff = true
	case g.Above >= b.Delay:
		g.CutOff = false
	}
	charge := v.st.Charge
	switch {
	case !charge.OK: // an unknown battery has its own rule
	case charge.Share < v.floors.reserve:
		g.Sparing = true
	case charge.Share >= v.floors.reserve+b.Recovery:
		g.Sparing = false
	}
	return g
}

// held counts how long a condition has stood without a break. The step in
// which it first shows counts nothing: one sample is no duration.
func held(so, d time.Duration, now bool) time.Duration {
	switch {
	case !now:
		return 0
	case so == 0:
		return time.Nanosecond
	}
	return so + d
}

// loads is what pump and fans should draw at these outputs.
func (s *Settings) loads(o Outputs) quantity.Ampere {
	if s.Proof.PumpCurrent > 0 {
		return quantity.Ampere(float64(o.Pump)*float64(s.Proof.PumpCurrent) +
			float64(o.Fans)*float64(s.Proof.FanCurrent))
	}
	if o.Pump == 0 && o.Fans == 0 {
		return 0
	}
	return s.Carry.Draw.Over(12)
}
