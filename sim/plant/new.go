package plant

import (
	"fmt"
	"time"

	"duskloop/sim/battery"
	"duskloop/sim/coil"
	"duskloop/sim/fluid"
)

// New is a plant at start. Of initial, the temperatures and BatteryCharge count;
// Outdoors is only shown until the first step, and a tank above the boiling point of
// its place begins at it. The error names every parameter that cannot be.
func New(p Params, start time.Time, initial State) (*Plant, error) {
	if err := p.Validate(); err != nil {
		return nil, fmt.Errorf("plant: %w", err)
	}
	if err := initial.validate(); err != nil {
		return nil, fmt.Errorf("plant: %w", err)
	}
	mix, err := fluid.New(p.Tank.Glycerin)
	if err != nil {
		return nil, fmt.Errorf("plant: %w", err)
	}
	plant := &Plant{
		params: p, now: start, sun: p.Site.Track(),
		elementAim: p.Element.Panel.Plane.Aim(), chargerAim: p.Supply.Panel.Plane.Aim(),
	}
	air, err := fluid.AirPressure(p.Site.Elevation)
	if err != nil {
		return nil, fmt.Errorf("plant: %w", err)
	}
	if plant.tank, err = newStore(mix, p.Tank, air); err != nil {
		return nil, fmt.Errorf("plant: %w", err)
	}
	if plant.battery, err = battery.New(p.Supply.Battery, initial.BatteryCharge); err != nil {
		return nil, fmt.Errorf("plant: %w", err)
	}
	if plant.flow, err = coil.NewPumped(p.Loop.Circuit, plant.tank.at(float64(coil.Warm)).Kinematic()); err != nil {
		return nil, fmt.Errorf("plant: %w", err)
	}
	if plant.element, err = p.Element.Panel.Module(); err != nil {
		return nil, fmt.Errorf("plant: element panel: %w", err)
	}
	if plant.charger, err = p.Supply.Panel.Module(); err != nil {
		return nil, fmt.Errorf("plant: battery panel: %w", err)
	}
	plant.params.Coil.Pressure = air
	plant.begin(initial)
	return plant, nil
}

// nothing is the capacity of a loop that holds no liquid, J/K.
const nothing = 1e-9

// begin sets the starting temperatures and the fixed capacities.
func (p *Plant) begin(s State) {
	p.temp = temps{
		atOutdoors: float64(s.Outdoors), atSoil: float64(p.params.Tunnel.Soil),
		nTank: min(float64(s.Tank), p.tank.boiling), nCoil: float64(s.Coil), nReturn: float64(s.Return),
		nAir: float64(s.Tunnel), nBed: float64(s.Bed), nHouse: float64(s.Greenhouse),
	}
	p.content = p.tank.heat(p.temp[nTank])
	l := p.tank.at(20)
	loop := float64(p.params.Loop.Volume) / 1000 * l.Density * l.SpecificHeat
	p.system.capacity = [nodes]float64{
		nCoil: max(loop/2, nothing), nReturn: max(loop/2, nothing),
		nAir: float64(p.params.Tunnel.Air), nBed: float64(p.params.Tunnel.Bed),
		nHouse: float64(p.params.Greenhouse.Air),
	}
	p.ledger.start = p.stored()
	p.ledger.chargeStart = float64(p.battery.Charge()) * float64(p.params.Supply.Battery.Capacity)
}
