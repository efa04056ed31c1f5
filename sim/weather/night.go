package weather

import (
	"math"

	"duskloop/sensors/quantity"
)

// stefanBoltzmann in W/(m² K⁴), CODATA 2018.
const stefanBoltzmann = 5.670374419e-8

// SkyEmissivity of the whole sky by dew point and cloud: Clark & Allen 1978 with
// the cloud polynomial of Walton 1983, as the EnergyPlus Engineering Reference
// gives it. Other formulas put a clear sky some 6 K colder; none is exact.
func (s Sample) SkyEmissivity() float64 {
	n := 10 * float64(s.Cloud)
	clear := 0.787 + 0.764*math.Log(s.DewPoint.Absolute()/273)
	return math.Min(1, clear*(1+n*(0.0224+n*(-0.0035+n*0.00028))))
}

// SkyDeficit is what a black surface at air temperature, seeing the whole sky,
// loses more than it receives, never below zero.
func (s Sample) SkyDeficit() quantity.WattPerSquareMetre {
	t := s.Air.Absolute()
	return quantity.WattPerSquareMetre(math.Max(0, (1-s.SkyEmissivity())*stefanBoltzmann*t*t*t*t))
}
