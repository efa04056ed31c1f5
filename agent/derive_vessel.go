package agent

import (
	"fmt"
	"strings"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/vessel"
)

// closedAt is the temperature at which a vessel is taken to be closed: that at
// which the tank's volume is measured.
const closedAt quantity.Celsius = 20

// closed says how high the pressure goes in a closed vessel without a relief valve.
func (d *Derived) closed(l *config.Loop, mix fluid.Mix, outside quantity.Kilopascal, u quantity.Units) error {
	if !l.Tank.Closed || l.Tank.Relief {
		return nil
	}
	how, err := howHigh(l, mix, outside, u)
	if err != nil {
		return err
	}
	text := "The tank is described as closed and without a relief valve: it can burst, and what comes out scalds. " + how
	d.Warnings = append(d.Warnings, text+" Fit a pressure relief valve and leave room to expand before you heat it. Software is not the safeguard: it cannot let pressure out.")
	return nil
}

// howHigh the pressure goes, at the cut-out and at boiling.
func howHigh(l *config.Loop, mix fluid.Mix, outside quantity.Kilopascal, u quantity.Units) (string, error) {
	if l.Tank.Vessel == 0 {
		return "How much room it has inside is not told (tank.vessel), so it counts as full: warm liquid needs more room, and without it the pressure has no bound.", nil
	}
	boiling, err := mix.BoilingAt(outside)
	if err != nil {
		return "", err
	}
	text := ""
	for _, at := range []struct {
		t   quantity.Celsius
		why string
	}{{l.Element.CutOut, "the thermal cut-out opens"}, {boiling, "it would boil if it were open"}} {
		known := min(at.t, fluid.MaxTemp)
		said, err := pressureAt(l, mix, outside, known, u)
		if err != nil {
			return "", err
		}
		text += fmt.Sprintf("At %s, about where %s, %s. ", known.In(u), at.why, said)
	}
	return strings.TrimSpace(text), nil
}

// pressureAt says the pressure in words, by the upper end of its band.
func pressureAt(l *config.Loop, mix fluid.Mix, outside quantity.Kilopascal, t quantity.Celsius, u quantity.Units) (string, error) {
	v := vessel.Vessel{Inside: l.Tank.Vessel, Liquid: l.Tank.Volume, Closed: closedAt, Air: outside}
	p, err := v.At(t, vessel.Liquid{
		Density: func(t quantity.Celsius) (float64, error) {
			rho, err := mix.Density(t)
			return float64(rho), err
		},
		Doubt:  fluid.DensityDoubt,
		Vapour: mix.VapourPressure,
	})
	if err != nil {
		return "", err
	}
	if p.Full {
		return fmt.Sprintf("only %v of it would still be air, which counts as full: the pressure has no bound", p.Room), nil
	}
	return fmt.Sprintf("it may reach %s, which is %s over the air outside", p.High.In(u), (p.High - outside).In(u)), nil
}
