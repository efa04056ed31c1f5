package foresight

import (
	"errors"
	"fmt"
	"math"
)

// State is what the greenhouse holds at one moment: °C, and Wh in the battery.
type State struct{ Tank, Air, Bed, House, Battery float64 }

// Vent is an opening that follows a temperature: shut up to Opens °C, fully open Band K
// above, when it passes Conductance W/K to the air outside it. Zero is none.
type Vent struct{ Conductance, Opens, Band float64 }

// Limit is where the element gives way: full power up to Low °C of the tank, none from
// High °C on, straight between.
type Limit struct{ Low, High float64 }

// Battery holds Capacity Wh. Pump and fans may take it down to Floor Wh and no lower;
// Base W is always drawn, down to nothing. ChargeEfficiency is the share of its panel's
// power that stays.
type Battery struct{ Capacity, Floor, ChargeEfficiency, Base float64 }

// Plant is a lumped greenhouse. Capacities in J/K, conductances in W/K, powers in W.
type Plant struct {
	Tank, TankLoss float64 // the loss goes to the greenhouse's air
	Limit          Limit
	Coil           float64 // tank to tunnel air at full duty
	Draw           float64 // of pump and fans together at full duty
	FanHeat        float64 // part of Draw that warms the tunnel's air
	TankHeat       float64 // part of Draw that warms the tank
	HouseHeat      float64 // part of Draw that warms the greenhouse's air

	Air, Bed            float64
	BedToAir, BedToSoil float64
	Soil                float64 // °C
	Cover               float64 // tunnel air to greenhouse air
	TunnelSun           float64 // m² of full sun that the tunnel takes in
	SunToBed            float64 // share of it that falls on the bed
	TunnelVent          Vent    // to the greenhouse's air

	House, HouseOut float64
	HouseSun        float64 // m²
	HouseVent       Vent    // to outdoors

	Battery Battery
	Start   State
}

// ErrPlant is wrapped by every refusal of a plant.
var ErrPlant = errors.New("no such greenhouse")

// Validate refuses figures with which the recursion means nothing.
func (p *Plant) Validate() error {
	for _, c := range []struct {
		name  string
		value float64
	}{{"tank", p.Tank}, {"air", p.Air}, {"bed", p.Bed}, {"greenhouse", p.House}, {"battery", p.Battery.Capacity}} {
		if !(c.value > 0) || math.IsInf(c.value, 0) {
			return fmt.Errorf("%w: %s has a capacity of %v; it must be above zero", ErrPlant, c.name, c.value)
		}
	}
	for _, c := range []float64{
		p.TankLoss, p.Coil, p.Draw, p.FanHeat, p.TankHeat, p.HouseHeat, p.BedToAir, p.BedToSoil,
		p.Cover, p.TunnelSun, p.SunToBed, p.TunnelVent.Conductance, p.HouseOut, p.HouseSun,
		p.HouseVent.Conductance, p.Battery.Floor, p.Battery.ChargeEfficiency, p.Battery.Base,
	} {
		if !(c >= 0) || math.IsInf(c, 0) {
			return fmt.Errorf("%w: %v where a conductance, power or share is at least zero", ErrPlant, c)
		}
	}
	return p.relations()
}

// relations refuses figures that contradict each other.
func (p *Plant) relations() error {
	for _, v := range []Vent{p.TunnelVent, p.HouseVent} {
		if v.Conductance > 0 && !(v.Band > 0) {
			return fmt.Errorf("%w: a vent opens over %v K; it must be above zero", ErrPlant, v.Band)
		}
	}
	const minute = 60
	switch out := p.TunnelVent.Conductance + p.Cover; {
	case !(p.Limit.High > p.Limit.Low):
		return fmt.Errorf("%w: the element gives way from %v to %v °C", ErrPlant, p.Limit.Low, p.Limit.High)
	case p.SunToBed > 1:
		return fmt.Errorf("%w: %v of the sun on the bed", ErrPlant, p.SunToBed)
	case minute*out > p.House:
		return fmt.Errorf("%w: the tunnel changes the greenhouse's air of %v J/K in a minute", ErrPlant, p.House)
	case p.FanHeat+p.TankHeat+p.HouseHeat > p.Draw*(1+1e-9):
		return fmt.Errorf("%w: pump and fans give more heat than the %v W they draw", ErrPlant, p.Draw)
	case p.Battery.Floor > p.Battery.Capacity || p.Start.Battery > p.Battery.Capacity:
		return fmt.Errorf("%w: more in the battery than its %v Wh", ErrPlant, p.Battery.Capacity)
	}
	return nil
}
