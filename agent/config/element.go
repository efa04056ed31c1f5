package config

import (
	"fmt"

	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/pv"
)

// PV is the label in the terms of package pv.
func (n Nameplate) PV() pv.Nameplate {
	return pv.Nameplate{
		Voc: n.Voc, Vmp: n.Vmp, Isc: n.Isc, Imp: n.Imp, Cells: int(n.Cells),
		Alpha: float64(n.Alpha), Beta: float64(n.Beta),
	}
}

// module is the diode of the element's panels as one.
func (l *Loop) module() (pv.Module, error) {
	if !l.Label.Given() {
		return pv.Generic(l.Element.Panel)
	}
	m, err := pv.Fit(l.Label.PV())
	if err != nil {
		return pv.Module{}, err
	}
	return m.Array(int(l.Label.Series), int(l.Label.Parallel))
}

// bright is the share of full sun that a strong current from the battery's own panel
// proves. That panel gives, at a battery's voltage, somewhat more than it.
const bright = 0.4

// charging is the voltage at which a panel's nameplate power meets a 12 V battery.
const charging = 14

// element is what the heater should do, by the panel's diode at 25 °C.
func (l *Loop) element(mix fluid.Mix) (control.Element, error) {
	e := control.Element{
		Resistance: l.Element.Resistance, Cable: l.Element.Cable, Loss: l.Tank.Loss,
		Sign: bright * l.Battery.Panel.Over(charging),
	}
	m, err := l.module()
	if err != nil {
		return e, err
	}
	taken := func(sun quantity.WattPerSquareMetre) quantity.Watt {
		amps := float64(m.At(sun, 25).OnResistor(e.Resistance + e.Cable).Amps)
		return quantity.Watt(amps * amps * float64(e.Resistance))
	}
	e.FullSun, e.Bright = taken(1000), taken(1000*bright)
	e.Heat, err = l.heat(mix)
	return e, err
}

// heat is what warms the tank by a kelvin at 40 °C: told, or of its liquid.
func (l *Loop) heat(mix fluid.Mix) (quantity.JoulePerKelvin, error) {
	if l.Model.TankHeat > 0 {
		return l.Model.TankHeat, nil
	}
	rho, err := mix.Density(20)
	if err != nil {
		return 0, fmt.Errorf("density: %w", err)
	}
	cp, err := mix.SpecificHeat(40)
	if err != nil {
		return 0, fmt.Errorf("specific heat: %w", err)
	}
	return quantity.JoulePerKelvin(float64(l.Tank.Volume) / 1000 * float64(rho) * float64(cp)), nil
}
