package plant

import (
	"fmt"

	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/fluid"
)

// store is a mass of liquid whose properties change with temperature: tables in
// whole kelvins, straight between. The tank keeps its heat, and temperature follows
// from it, so that nothing is lost in between. Below the freezing point the
// properties of the freezing point stand, ice is not modelled; above 100 °C those
// of 100 °C.
type store struct {
	mass    float64 // kg
	boiling float64 // °C
	freeze  float64 // °C
	content []float64
	liquid  []coil.Liquid
	moist   []float64 // vapour pressure of water over the mix, kPa; from 0 °C up
}

// coldest is the temperature of the tables' first entry, °C.
const coldest = -60

// newStore is the liquid of a tank, its volume measured at 20 °C, under an air
// pressure.
func newStore(mix fluid.Mix, tank Tank, air quantity.Kilopascal) (*store, error) {
	rho, err := mix.Density(20)
	if err != nil {
		return nil, fmt.Errorf("filling the tank: %w", err)
	}
	boils, err := mix.BoilingAt(air)
	if err != nil {
		return nil, fmt.Errorf("filling the tank: %w", err)
	}
	s := &store{
		mass:    float64(rho) * float64(tank.Volume) / 1000,
		boiling: float64(boils),
		freeze:  float64(mix.Freezing()),
	}
	for t := float64(coldest); t < s.boiling+2; t++ {
		l, err := propertiesOf(mix, s.known(t))
		if err != nil {
			return nil, fmt.Errorf("filling the tank: %w", err)
		}
		s.liquid = append(s.liquid, l)
		p, err := mix.VapourPressure(max(s.known(t), 0))
		if err != nil {
			return nil, fmt.Errorf("filling the tank: %w", err)
		}
		s.moist = append(s.moist, float64(p))
	}
	return s, s.count(mix, float64(tank.Capacity))
}

// known is the temperature nearest to t at which the mix's properties are known.
func (s *store) known(t float64) quantity.Celsius {
	return quantity.Celsius(min(max(t, s.freeze+1e-9), float64(fluid.MaxTemp)))
}

// count sums the heat content, each kelvin by its middle; lumped, if not zero, is
// the capacity in J/K at every temperature.
func (s *store) count(mix fluid.Mix, lumped float64) error {
	s.content = append(s.content, 0)
	for t := coldest + 0.5; t < s.boiling+1; t++ {
		cp, err := mix.SpecificHeat(s.known(t))
		if err != nil {
			return fmt.Errorf("filling the tank: %w", err)
		}
		heat := s.mass * float64(cp)
		if lumped > 0 {
			heat = lumped
		}
		s.content = append(s.content, s.content[len(s.content)-1]+heat)
	}
	return nil
}

// propertiesOf a mix for film and friction.
func propertiesOf(mix fluid.Mix, t quantity.Celsius) (coil.Liquid, error) {
	rho, err := mix.Density(t)
	if err != nil {
		return coil.Liquid{}, err
	}
	cp, err := mix.SpecificHeat(t)
	if err != nil {
		return coil.Liquid{}, err
	}
	mu, err := mix.Viscosity(t)
	if err != nil {
		return coil.Liquid{}, err
	}
	k, err := mix.Conductivity(t)
	return coil.Liquid{
		Density: float64(rho), SpecificHeat: float64(cp),
		Viscosity: float64(mu) / 1000, Conductivity: float64(k),
	}, err
}

// at is the liquid at t.
func (s *store) at(t float64) coil.Liquid {
	i := s.segment(t)
	a, b, x := &s.liquid[i], &s.liquid[i+1], min(max(t-coldest-float64(i), 0), 1)
	return coil.Liquid{
		Density:      a.Density + x*(b.Density-a.Density),
		SpecificHeat: a.SpecificHeat + x*(b.SpecificHeat-a.SpecificHeat),
		Viscosity:    a.Viscosity + x*(b.Viscosity-a.Viscosity),
		Conductivity: a.Conductivity + x*(b.Conductivity-a.Conductivity),
	}
}

// vapour pressure of water over the liquid at t, kPa.
func (s *store) vapour(t float64) float64 {
	i := s.segment(t)
	return s.moist[i] + (t-coldest-float64(i))*(s.moist[i+1]-s.moist[i])
}

// segment of the tables that holds t.
func (s *store) segment(t float64) int {
	return min(max(int(t-coldest), 0), len(s.content)-2)
}

// capacity in J/K at t.
func (s *store) capacity(t float64) float64 {
	i := s.segment(t)
	return s.content[i+1] - s.content[i]
}

// heat content in J at t.
func (s *store) heat(t float64) float64 {
	i := s.segment(t)
	return s.content[i] + (t-coldest-float64(i))*(s.content[i+1]-s.content[i])
}

// temperature at a heat content, searched from a temperature near it.
func (s *store) temperature(heat, near float64) float64 {
	i := s.segment(near)
	for i > 0 && heat < s.content[i] {
		i--
	}
	for i < len(s.content)-2 && heat >= s.content[i+1] {
		i++
	}
	return coldest + float64(i) + (heat-s.content[i])/(s.content[i+1]-s.content[i])
}
