package agent

import (
	"fmt"
	"strings"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/vessel"
)

// closings are the temperatures at which a vessel may have been closed: a warm room
// and a cold greenhouse. Which of them gives more pressure counts.
func closings() []quantity.Celsius { return []quantity.Celsius{5, 20} }

// closed says how high the pressure goes in a closed vessel: a warning without a
// relief valve, with one the figures to choose it by.
func (d *Derived) closed(l *config.Loop, mix fluid.Mix, outside quantity.Kilopascal, u quantity.Units) error {
	if !l.Tank.Closed {
		return nil
	}
	how, err := PressureInWords(l, mix, outside, u)
	if err != nil {
		return err
	}
	if l.Tank.Relief {
		d.say("closed tank, to choose its relief valve by", "%s", how)
		return nil
	}
	d.warning("The tank is described as closed and without a relief valve: it can burst, and what comes out scalds. %s "+
		"Fit a pressure relief valve and leave room to expand before you heat it. Software is not the safeguard: it cannot let pressure out.", how)
	return nil
}

// PressureInWords says how high the pressure goes in a closed tank, at the cut-out and at
// boiling, in outside air of a pressure.
func PressureInWords(l *config.Loop, mix fluid.Mix, outside quantity.Kilopascal, u quantity.Units) (string, error) {
	if l.Tank.Vessel == 0 {
		return "How much room it has inside is not told (tank.vessel), so it counts as full: warm liquid needs more room, and without it the pressure has no bound.", nil
	}
	boiling, err := mix.BoilingAt(outside)
	if err != nil {
		return "", err
	}
	var said []string
	for _, at := range []struct {
		t   quantity.Celsius
		why string
	}{{l.Element.CutOut, "where the thermal cut-out opens"}, {boiling, "where it would boil if it were open"}} {
		text, err := pressureAt(l, mix, outside, min(at.t, fluid.MaxTemp), u)
		if err != nil {
			return "", err
		}
		why := at.why
		if at.t > fluid.MaxTemp {
			why = fmt.Sprintf("the hottest that is known here (%s is at %s)", at.why, at.t.In(u))
		}
		said = append(said, fmt.Sprintf("At %s, %s, %s.", min(at.t, fluid.MaxTemp).In(u), why, text))
	}
	return fmt.Sprintf("%s If the cut-out fails the pressure goes on rising beyond that, and nothing is known of it past %s. "+
		"Reckoned as closed at %s or at %s, whichever gives more, and by the upper end of what the liquid may swell.",
		strings.Join(said, " "), fluid.MaxTemp.In(u), closings()[0].In(u), closings()[1].In(u)), nil
}

// pressureAt says the pressure in words, by the upper end of its band and the worst
// closing.
func pressureAt(l *config.Loop, mix fluid.Mix, outside quantity.Kilopascal, t quantity.Celsius, u quantity.Units) (string, error) {
	var worst vessel.Pressure
	for k, cold := range closings() {
		v := vessel.Vessel{Inside: l.Tank.Vessel, Liquid: l.Tank.Volume, Closed: cold, Air: outside}
		p, err := v.At(t, liquid(mix))
		if err != nil {
			return "", err
		}
		if k == 0 || p.High > worst.High || p.High == worst.High && p.Room < worst.Room {
			worst = p
		}
	}
	switch {
	case worst.Room <= 0:
		return "the liquid no longer fits in it: nothing gives way but the vessel", nil
	case worst.Full:
		return fmt.Sprintf("only %v of it would still be air, which counts as full: the pressure has no bound", worst.Room), nil
	}
	return fmt.Sprintf("it may reach %s, which is %s over the air outside", worst.High.In(u), (worst.High - outside).In(u)), nil
}

// liquid is the mix as a vessel asks for it.
func liquid(mix fluid.Mix) vessel.Liquid {
	return vessel.Liquid{
		Density: func(t quantity.Celsius) (float64, error) {
			rho, err := mix.Density(t)
			return float64(rho), err
		},
		Doubt:  fluid.DensityDoubt,
		Vapour: mix.VapourPressure,
	}
}
