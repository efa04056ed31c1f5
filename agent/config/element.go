package config

import (
	"fmt"
	"math"

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

// Where a panel without load stands highest: full sun on cold cells, colder than which a
// site should be looked up. Chosen.
const (
	coldCells   = -25
	inputHolds  = quantity.Volt(2)   // of the ADS1115's range of 2.048 V in use
	panelAtMost = quantity.Volt(250) // what is believed of a hobby heater's panel
)

// OpenVolts is the highest voltage of the element's panels, by their label or for a 12 V
// class panel: unloaded, in full sun, cells at -25 °C.
func (l *Loop) OpenVolts() (quantity.Volt, error) {
	m, err := l.module()
	if err != nil {
		return 0, err
	}
	return m.At(1000, coldCells).OpenCircuit().Volts, nil
}

// overloaded finds a divider that does not hold the converter's input.
func (f *File) overloaded() Faults {
	ratio := f.Daemon.PanelRatio
	if ratio < 1 || len(f.Loops) == 0 {
		return nil
	}
	open, err := f.Loop().OpenVolts()
	switch fault := (Fault{Key: "daemon.panel_divider", Value: ratio.String()}); {
	case err != nil: // the label's own fault
		return nil
	case open > panelAtMost:
		fault.Problem = fmt.Sprintf("the panel reaches %v without load, too much to be measured so", open)
		return Faults{fault}
	case open/quantity.Volt(ratio) >= inputHolds:
		fault.Problem = fmt.Sprintf("the panel reaches %v without load in the cold, and the input would see %.2f V", open, float64(open)/float64(ratio))
		fault.Allowed = fmt.Sprintf("above %.0f", math.Ceil(float64(open/inputHolds)))
		return Faults{fault}
	}
	return nil
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
