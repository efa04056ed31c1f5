package plant

import (
	"math"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// evaporationRate is the heat that leaves a quiet open surface in still air, in W
// for each m² and kPa of vapour pressure between surface and air: 0.74 times 95
// Btu/(h ft² inHg) (ASHRAE Transactions 104 part 1A, 1998, abstract read: the
// equation of older handbooks, and what undisturbed pools measured gave of it).
// Measured near 27 °C; carried on to hot tanks.
const evaporationRate = 0.74 * 95 * 0.29307107 / 0.09290304 / 3.386389

// latent heat of water in J/kg at t °C: a line through steam-table values 2500.9 and
// 2256.4 kJ/kg at 0 and 100 °C (from memory), within 0.3 % between.
func latent(t float64) float64 { return 2500.9e3 - 2.445e3*t }

// airMoisture is the vapour pressure of air in kPa at its dew point: A. L. Buck 1996
// over water, -40 to 50 °C; within 0.11 % of IAPWS-IF97 from 0 °C up. Outside, the
// nearer end.
func airMoisture(dew quantity.Celsius) float64 {
	t := min(max(float64(dew), -40), 50)
	return 0.61121 * math.Exp((18.678-t/234.5)*t/(257.14+t))
}

// evaporate is the heat in W that evaporation takes from the open tank now. The
// greenhouse air is taken to be as moist as the outdoor air, which gives more
// evaporation rather than less. None below 0 °C; dew on the liquid is left out.
func (p *Plant) evaporate(in *inputs) float64 {
	open := float64(p.params.Tank.OpenSurface)
	if open == 0 || p.temp[nTank] <= 0 {
		return 0
	}
	return evaporationRate * open * max(0, p.tank.vapour(p.temp[nTank])-in.moisture)
}

// moisture of the air, where it is asked for.
func (p *Plant) moisture(sky weather.Sample) float64 {
	if p.params.Tank.OpenSurface == 0 {
		return 0
	}
	return airMoisture(sky.DewPoint)
}
