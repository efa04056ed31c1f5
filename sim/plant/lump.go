package plant

import (
	"fmt"

	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/fluid"
)

// Lumped are the single figures that stand for a plant's parts in a smaller model.
type Lumped struct {
	Tank quantity.JoulePerKelvin
	Coil quantity.WattPerKelvin // at full duty
	// PanelVolts and Element are the element's panel's voltage and the element's power in
	// full sun; Charger what the battery's panel then gives to the battery.
	PanelVolts quantity.Volt
	Element    quantity.Watt
	Charger    quantity.Watt
}

// Where the parts are taken: a tank warm for the night, air of a cold one, and sun of
// 1000 W/m² in the panels' planes on cells at 25 °C. A choice of ours but the last,
// which is the rating's.
const (
	warmTank quantity.Celsius            = 45
	coldAir  quantity.Celsius            = 5
	fullSun  quantity.WattPerSquareMetre = 1000
	cells    quantity.Celsius            = 25
	resting  quantity.Volt               = 12.6 // of the battery that is charged directly
)

// Lump finds them. The error names the part that cannot be.
func (p Params) Lump() (l Lumped, err error) {
	if err := p.Validate(); err != nil {
		return l, fmt.Errorf("plant: %w", err)
	}
	if err := p.lumpHeat(&l, warmTank); err != nil {
		return l, fmt.Errorf("plant: %w", err)
	}
	m, err := p.Element.Panel.Module()
	if err != nil {
		return l, fmt.Errorf("plant: element panel: %w", err)
	}
	at := m.At(fullSun, cells).OnResistor(p.Element.Resistance + p.Element.Cable)
	l.PanelVolts = at.Volts
	l.Element = quantity.Watt(float64(at.Amps) * float64(at.Amps) * float64(p.Element.Resistance))
	if m, err = p.Supply.Panel.Module(); err != nil {
		return l, fmt.Errorf("plant: battery panel: %w", err)
	}
	c := m.At(fullSun, cells)
	l.Charger = trackingShare * c.MaxPower().Power()
	if p.Supply.Charger == Direct {
		l.Charger = c.OnBattery(resting, p.Supply.Battery.Resistance).Power()
	}
	return l, nil
}

// CoilAt is the coil's conductance at full duty beside a tank at a temperature and the air of
// a cold night: a warm mix is thinner and flows faster. The error names the part that cannot
// be.
func (p Params) CoilAt(tank quantity.Celsius) (quantity.WattPerKelvin, error) {
	var l Lumped
	if err := p.lumpHeat(&l, tank); err != nil {
		return 0, fmt.Errorf("plant: %w", err)
	}
	return l.Coil, nil
}

// TankAt is the heat of the tank's liquid at a temperature.
func (p Params) TankAt(tank quantity.Celsius) (quantity.JoulePerKelvin, error) {
	var l Lumped
	if err := p.lumpHeat(&l, tank); err != nil {
		return 0, fmt.Errorf("plant: %w", err)
	}
	return l.Tank, nil
}

// lumpHeat finds tank and coil at a tank's temperature.
func (p *Params) lumpHeat(l *Lumped, at quantity.Celsius) error {
	mix, err := fluid.New(p.Tank.Glycerin)
	if err != nil {
		return err
	}
	air, err := fluid.AirPressure(p.Site.Elevation)
	if err != nil {
		return err
	}
	tank, err := newStore(mix, p.Tank, air)
	if err != nil {
		return err
	}
	flow, err := coil.NewPumped(p.Loop.Circuit, tank.at(float64(coil.Warm)).Kinematic())
	if err != nil {
		return err
	}
	liquid := tank.at(float64(at))
	litres := flow.Flow(1, liquid.Kinematic())
	rate := litres / 60000 * liquid.Density * liquid.SpecificHeat
	exchanger := p.Coil
	exchanger.Pressure = air
	l.Tank = quantity.JoulePerKelvin(tank.capacity(float64(at)))
	l.Coil = quantity.WattPerKelvin(exchanger.conductance(liquid, litres, rate, 1, 1, coldAir))
	return nil
}
