package agent

import (
	"time"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// beliefs turns attempts at probes into what the decision core is told: the
// last believed value with its age, and what is wrong with the latest attempt.
type beliefs struct {
	judge   *sensors.Judge
	power   sensors.PowerLimits
	meter   sensors.PowerBelief
	fitted  [control.Places]bool
	names   [control.Places]string
	transit time.Duration
	correct [control.Places]config.Calibration

	panelWired bool
}

// newBeliefs takes each place's limits from the greenhouse file.
func newBeliefs(f *config.File) *beliefs {
	l := f.Loop()
	b := &beliefs{panelWired: f.Daemon.PanelRatio > 0, transit: transit(l), power: sensors.PowerLimits{LowestVolts: 5, HighestVolts: 20, MostAmps: 100, HighestPanel: highestPanel}}
	limits := make(map[string]sensors.Limits)
	for p := range control.Places {
		b.names[p], b.correct[p] = string(l.Probes[p].ID), l.Probes[p].Calibration
		if b.names[p] != "" {
			b.fitted[p] = true
			limits[b.names[p]] = limitsOf(p, l)
		}
	}
	b.judge = sensors.NewJudge(limits)
	return b
}

// transit is how long liquid takes once round coil and pipes.
func transit(l *config.Loop) time.Duration {
	minutes := float64(l.Coil.Volume) / float64(l.Coil.Flow)
	return time.Duration(minutes * float64(time.Minute))
}

// Rates of change that no place exceeds. The tank's follows from the file;
// the rest are judgement (a flap opened on a frosty morning, sun on a probe).
const (
	mixingRate = quantity.KelvinPerMinute(2) // a stir brings layers past the probe
	airRate    = quantity.KelvinPerMinute(5)
	bedRate    = quantity.KelvinPerMinute(1.5)
	pipeRate   = quantity.KelvinPerMinute(20) // liquid at another temperature arrives
	airSlack   = quantity.Kelvin(2)
	// coldPlug is how much colder than the tank the liquid in the pipes may be, in
	// K. Chosen: a hot tank and a frosty coil.
	coldPlug = 80.0
	// brightest is the power of a panel in the brightest light against its
	// nameplate at 1000 W/m²: clouds' edges and cold cells. From memory,
	// unverified.
	brightest = 1.4
	// heatPerLitre is about that of the lightest heat store allowed, 60 %
	// glycerin: 1.15 kg/L times 3.1 kJ/kgK. Water holds more and is slower.
	heatPerLitre = 3.5e3 // J/(L·K)
)

// limitsOf is what a probe at a place can truthfully read.
func limitsOf(p control.Place, l *config.Loop) sensors.Limits {
	limits := sensors.DefaultLimits()
	switch p {
	case control.Tank:
		perMinute := 60 * brightest * float64(l.Element.Panel) / (heatPerLitre * float64(l.Tank.Volume))
		limits.MaxRate = mixingRate + quantity.KelvinPerMinute(perMinute)
		// What stood cold in coil and pipes arrives at once when the pump starts;
		// in a small tank that is a step of many kelvin.
		limits.Slack += quantity.Kelvin(coldPlug * float64(l.Coil.Volume/l.Tank.Volume))
	case control.Coil, control.Return:
		limits.MaxRate = pipeRate
	case control.Bed:
		limits.MaxRate = bedRate
	default:
		limits.MaxRate, limits.Slack = airRate, airSlack
	}
	return limits
}

// excuse lets the pipe probes jump for three transits and a minute: the first
// brings tank liquid, the rest settle.
func (b *beliefs) excuse(now time.Time) {
	until := now.Add(3*b.transit + time.Minute)
	for _, p := range [...]control.Place{control.Coil, control.Return} {
		if b.fitted[p] {
			b.judge.Excuse(b.names[p], until)
		}
	}
}

// inputs judges a look.
func (b *beliefs) inputs(look Look, now time.Time) control.Inputs {
	in := control.Inputs{Level: look.Level, Meter: b.battery(look.Power, now)}
	in.Panel = b.panel(now)
	for p := range control.Places {
		if b.fitted[p] {
			in.Places[p] = b.place(look.Probes[p], p, now)
		}
	}
	return in
}

func (b *beliefs) place(r sensors.Reading, p control.Place, now time.Time) control.Temperature {
	// The part's own codes for "nothing measured" were told from its bytes before this.
	r.Probe, r.Value = b.names[p], b.correct[p].Correct(r.Value)
	belief := b.judge.Consider(r)
	t := control.Temperature{Trouble: trouble(belief.Last.Cause)}
	if belief.Known() {
		t.Value, t.Ever, t.Age = belief.Value, true, belief.Age(now)
	}
	if t.Trouble != control.NoTrouble {
		t.Cause, t.Suspect = belief.Last.Cause.String(), belief.Last.Value
	}
	return t
}

// trouble sorts the causes: no value at all, or one that is not believed.
func trouble(c sensors.Cause) control.Trouble {
	switch c {
	case sensors.Good, sensors.NotYet:
		return control.NoTrouble
	}
	if c.Quality() == sensors.QualityDoubtful {
		return control.Doubted
	}
	return control.Lost
}

func (b *beliefs) battery(p sensors.Power, now time.Time) control.Meter {
	b.meter = b.power.Consider(b.meter, p)
	m := control.Meter{}
	if b.meter.Known() {
		m.Volts, m.HasVolts = b.meter.Volts, true
		if m.HasAmps = !b.meter.NoAmps; m.HasAmps {
			m.Amps = b.meter.Amps
		}
		m.Age = b.meter.Age(now)
	}
	if c := b.meter.Last.Cause; c != sensors.Good && c != sensors.NotYet {
		m.Cause = c.String()
	}
	return m
}

// highestPanel is beyond what any panel of a hobby heater stands at.
const highestPanel = 250

// panel is what is known of the element's panel.
func (b *beliefs) panel(now time.Time) control.Panel {
	p := control.Panel{}
	switch last := b.meter.Last; {
	case !b.panelWired || last.At.IsZero():
	case !last.PanelOK:
		p.Cause = "panel's voltage not read"
	case !b.meter.PanelAt.Equal(last.At):
		p.Cause = "panel's voltage out of range"
	}
	if !b.meter.PanelAt.IsZero() {
		p.Volts, p.Has, p.Age = b.meter.Panel, true, now.Sub(b.meter.PanelAt)
	}
	return p
}
