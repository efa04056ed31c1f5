package plant

import (
	"math"
	"math/rand/v2"
	"time"

	"duskloop/sensors/quantity"
)

// Place is where a probe sits.
type Place int

// The places, in the order of State.
const (
	AtTank Place = iota
	AtCoil
	AtReturn
	AtTunnel
	AtBed
	AtGreenhouse
	AtOutdoors
	places // how many
)

// Places lists every place.
func Places() []Place {
	return []Place{AtTank, AtCoil, AtReturn, AtTunnel, AtBed, AtGreenhouse, AtOutdoors}
}

// String is a plain word.
func (p Place) String() string {
	names := [...]string{"tank", "coil", "return", "tunnel", "bed", "greenhouse", "outdoors"}
	if p < 0 || p >= places {
		return "nowhere"
	}
	return names[p]
}

// ProbeParams says how the probes and the battery meter fall short of the truth.
type ProbeParams struct {
	Step  quantity.Kelvin // resolution: 0.0625 K at 12 bit
	Noise quantity.Kelvin // standard deviation of one reading
	// Spread is the standard deviation of each probe's constant error, drawn once
	// from the seed.
	Spread quantity.Kelvin
	Lag    time.Duration // first-order delay of the probe in its sleeve
	Meter  MeterParams
	Seed   uint64
}

// MeterParams are the errors of the battery's voltage and current meter.
type MeterParams struct {
	VoltNoise   quantity.Volt
	VoltGain    float64 // reading = truth x gain + noise; 0 means 1
	AmpereNoise quantity.Ampere
	AmpereZero  quantity.Ampere // constant offset
	AmpereGain  float64         // 0 means 1
	VoltStep    quantity.Volt
	AmpereStep  quantity.Ampere
}

// Probes turns the plant's truth into what the probes and the meter would say.
// It is deterministic for a seed and a sequence of calls, allocates nothing per
// reading, and is not safe for concurrent use.
type Probes struct {
	params ProbeParams
	noise  *rand.Rand
	spread [places]float64
	sleeve [places]float64 // what the probe body has reached
	said   [places]quantity.Celsius
	lost   [places]bool
	volts  quantity.Volt
	amps   quantity.Ampere
	dead   bool
}

// NewProbes is a set of probes that have settled at the state now.
func NewProbes(p ProbeParams, now State) *Probes {
	probes := &Probes{params: p, noise: rand.New(rand.NewPCG(p.Seed, 0x6475736b))}
	for i := range probes.spread {
		probes.spread[i] = float64(p.Spread) * probes.noise.NormFloat64()
		probes.sleeve[i] = float64(now.at(Place(i)))
	}
	probes.Read(now, 0)
	return probes
}

// Read takes one reading of every probe and of the meter, dt after the last.
func (p *Probes) Read(now State, dt time.Duration) {
	reached := 1.0
	if p.params.Lag > 0 {
		reached = -math.Expm1(-dt.Seconds() / p.params.Lag.Seconds())
	}
	for i := range p.said {
		p.sleeve[i] += reached * (float64(now.at(Place(i))) - p.sleeve[i])
		v := p.sleeve[i] + p.spread[i] + float64(p.params.Noise)*p.noise.NormFloat64()
		p.said[i] = quantity.Celsius(stepped(v, float64(p.params.Step)))
	}
	m := &p.params.Meter
	volts := float64(now.BatteryVolts)*gain(m.VoltGain) + float64(m.VoltNoise)*p.noise.NormFloat64()
	amps := float64(now.BatteryAmps)*gain(m.AmpereGain) + float64(m.AmpereZero) +
		float64(m.AmpereNoise)*p.noise.NormFloat64()
	p.volts = quantity.Volt(stepped(volts, float64(m.VoltStep)))
	p.amps = quantity.Ampere(stepped(amps, float64(m.AmpereStep)))
}

// At is the last reading at a place; false when the probe is lost.
func (p *Probes) At(place Place) (quantity.Celsius, bool) {
	if place < 0 || place >= places || p.lost[place] {
		return 0, false
	}
	return p.said[place], true
}

// Battery is the meter's last reading of voltage and current (positive charging);
// false when the meter is lost.
func (p *Probes) Battery() (quantity.Volt, quantity.Ampere, bool) {
	if p.dead {
		return 0, 0, false
	}
	return p.volts, p.amps, true
}

// Lose makes the probe at a place vanish (true) or come back (false).
func (p *Probes) Lose(place Place, lost bool) {
	if place >= 0 && place < places {
		p.lost[place] = lost
	}
}

// LoseMeter makes the battery meter vanish or come back.
func (p *Probes) LoseMeter(lost bool) { p.dead = lost }

// at is the true temperature at a place.
func (s *State) at(p Place) quantity.Celsius {
	switch p {
	case AtTank:
		return s.Tank
	case AtCoil:
		return s.Coil
	case AtReturn:
		return s.Return
	case AtTunnel:
		return s.Tunnel
	case AtBed:
		return s.Bed
	case AtGreenhouse:
		return s.Greenhouse
	}
	return s.Outdoors
}

// stepped rounds to whole steps; no step, no rounding.
func stepped(v, step float64) float64 {
	if step <= 0 {
		return v
	}
	return math.RoundToEven(v/step) * step
}

// gain with its default.
func gain(g float64) float64 {
	if g == 0 {
		return 1
	}
	return g
}
