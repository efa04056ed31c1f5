package config

import (
	"fmt"

	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sim/fluid"
)

// Settings is what the decision core needs of the loop.
func (f *File) Settings() (control.Settings, error) {
	l := f.Loop()
	mix, err := fluid.New(l.Tank.Glycerin)
	if err != nil {
		return control.Settings{}, fmt.Errorf("mix of loop %s: %w", l.Name, err)
	}
	element, err := l.element(mix)
	if err != nil {
		return control.Settings{}, fmt.Errorf("element of loop %s: %w", l.Name, err)
	}
	s := control.Settings{
		Units: f.Site.Units, StaleAfter: f.Daemon.staleAfter().Duration(),
		Tank:    control.TankLimits{Hot: l.Tank.Hot, Danger: l.Tank.Danger, Hysteresis: l.Tank.Hysteresis, MinOpen: l.Tank.MinOpen.Duration()},
		Element: element,
		Crop:    control.CropLimits{Minimum: l.Crop.Minimum, Comfort: l.Crop.Comfort, Maximum: l.Crop.Maximum, Harm: l.Crop.Harm},
		Frost:   control.Frost{Freezing: mix.Freezing(), Margin: l.Carry.FrostMargin},
		Carry:   l.carry(), Battery: l.battery(), Proof: l.proof(),
	}
	s.Fitted.Charger = l.Charger.Fitted()
	s.Fitted.Contactor, s.Fitted.Level = l.Contactor.Fitted(), l.Level.Fitted()
	for p := range control.Places {
		s.Fitted.Places[p] = l.Probes[p].ID != ""
	}
	return s, nil
}

func (l *Loop) carry() control.Carry {
	c, drive := l.Carry, night.Pulsed
	if c.Speed == VariedSpeed {
		drive = night.Varied
	}
	return control.Carry{
		Drive: drive,
		Start: c.Start, Stop: c.Stop, Worth: float64(c.Worth),
		Conductance: l.Coil.Conductance, Draw: l.Pump.Draw + l.Fans.Draw,
		MinRun: c.MinRun.Duration(), MinRest: c.MinRest.Duration(), SafetyMin: c.SafetyMin.Duration(),
		FanMargin: c.FanMargin, FanOverrun: c.FanOverrun.Duration(),
		StirEvery: c.StirEvery.Duration(), StirFor: c.StirFor.Duration(), StirRise: c.StirRise,
		PumpDuty: l.Pump.Duty, FanDuty: l.Fans.Duty,
	}
}

func (l *Loop) battery() control.Battery {
	b := l.Battery
	where, placed := placeCalled(string(b.Where))
	return control.Battery{
		Where: where, Placed: placed, RestDraw: b.RestDraw, RestKnown: b.RestDraw >= 0,
		Chemistry: b.Chemistry.Kind, Capacity: b.Capacity, Resistance: b.Resistance,
		Reserve: b.Reserve, Recovery: b.Recovery, CutOff: b.CutOff, Reconnect: b.Reconnect,
		Delay: b.Delay.Duration(), BlindAfter: b.BlindAfter.Duration(),
	}
}

// nominal is the voltage at which a motor's draw is stated.
const nominal = 12

func (l *Loop) proof() control.Proof {
	p := l.Proof
	return control.Proof{
		Within: p.Within.Duration(), Difference: p.Difference, Tries: int(p.Tries), TryEvery: p.TryEvery.Duration(),
		PumpCurrent: l.Pump.Draw.Over(nominal), FanCurrent: l.Fans.Draw.Over(nominal),
	}
}
