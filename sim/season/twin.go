package season

import (
	"fmt"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// fullSun is the sun on the level under which the twin's gains are stated, W/m².
const fullSun = 1000

// TwinOf is the small model's greenhouse for a plant whose every figure is known, and
// the voltage of its element's panel in full sun, by which a share of sun is told.
func TwinOf(p plant.Params) (night.Twin, quantity.Volt, error) {
	l, err := p.Lump()
	if err != nil {
		return night.Twin{}, 0, fmt.Errorf("twin: %w", err)
	}
	t, s := &p.Tunnel, &p.Supply
	gain := float64(t.Sun) * fullSun
	return night.Twin{
		Tank: float64(l.Tank), TankLoss: float64(p.Tank.Loss), Element: float64(l.Element), Limit: limit(&p.Tank),
		Air: float64(t.Air), Cover: float64(t.Cover), AirSun: gain * (1 - float64(t.SunToBed)),
		Bed: float64(t.Bed), BedToAir: float64(t.BedToAir), BedToSoil: float64(t.BedToSoil),
		Soil: float64(t.Soil), BedSun: gain * float64(t.SunToBed),
		VentOpens: float64(t.Vent.Opens), Vent: float64(t.Vent.Conductance), VentBand: float64(t.Vent.Band),
		Coil: float64(l.Coil), FanHeat: float64(p.Fans.Power) * float64(p.Fans.InTunnel),
		Draw: float64(p.Loop.Pump + p.Fans.Power), Base: float64(s.BaseLoad), Panel: float64(l.Charger),
		Capacity:   float64(s.Battery.Capacity) * float64(s.Battery.Chemistry.RestVoltage(threeQuarters)),
		Efficiency: float64(s.Battery.Efficiency),
	}, l.PanelVolts, nil
}

// threeQuarters full is where a battery's ampere-hours are turned into watt-hours.
const threeQuarters = 0.75

// limit is where the element gives nothing: in the middle of its taper, or at its
// cut-out, or never before the tank boils.
func limit(t *plant.Tank) float64 {
	switch {
	case t.Taper.Band > 0:
		return float64(t.Taper.From) + float64(t.Taper.Band)/2
	case t.CutOut > 0:
		return float64(t.CutOut)
	}
	return 100
}
