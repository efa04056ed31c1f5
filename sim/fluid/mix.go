package fluid

import (
	"errors"
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// ErrRange is wrapped by every refusal of a mix or a temperature outside the
// range in which the correlations hold.
var ErrRange = errors.New("outside the range of the correlations")

// Units of the properties that only a liquid has.
type (
	// KilogramPerCubicMetre is a density.
	KilogramPerCubicMetre float64
	// JoulePerKilogramKelvin is a specific heat.
	JoulePerKilogramKelvin float64
	// MillipascalSecond is a dynamic viscosity.
	MillipascalSecond float64
	// WattPerMetreKelvin is a thermal conductivity.
	WattPerMetreKelvin float64
)

// The limits of validity.
const (
	MaxGlycerin quantity.Share   = 0.60
	MaxTemp     quantity.Celsius = 100
)

// nearWater is the share of glycerin below which the fit runs into water's own
// values. Our choice: the fit rests on data from 19.5 % up.
const nearWater = 0.05

// Mix is water with a share of glycerin by weight. The zero value is water.
type Mix struct{ w float64 }

// New is the mix with the share w of glycerin by weight. It refuses, with
// ErrRange, anything outside 0 to 60 %.
func New(w quantity.Share) (Mix, error) {
	if !(w >= 0 && w <= MaxGlycerin) {
		return Mix{}, fmt.Errorf("glycerin %v by weight: %w: 0 to %v", w, ErrRange, MaxGlycerin)
	}
	return Mix{w: float64(w)}, nil
}

// Glycerin is the share of glycerin by weight.
func (m Mix) Glycerin() quantity.Share { return quantity.Share(m.w) }

// Density at t.
func (m Mix) Density(t quantity.Celsius) (KilogramPerCubicMetre, error) {
	v, err := m.property(t, waterDensity, func(w, t float64) float64 {
		return joined(w, t, densityTable.at, hotDensity)
	})
	return KilogramPerCubicMetre(v), wrap("density", err)
}

// SpecificHeat at t.
func (m Mix) SpecificHeat(t quantity.Celsius) (JoulePerKilogramKelvin, error) {
	v, err := m.property(t, waterHeat, func(w, t float64) float64 {
		return joined(w, t, heatTable.at, hotHeat)
	})
	return JoulePerKilogramKelvin(v), wrap("specific heat", err)
}

// Viscosity at t.
func (m Mix) Viscosity(t quantity.Celsius) (MillipascalSecond, error) {
	v, err := m.property(t, waterViscosity, func(w, t float64) float64 {
		return joined(w, t, coldViscosity, hotViscosity)
	})
	return MillipascalSecond(v), wrap("viscosity", err)
}

// Conductivity at t.
func (m Mix) Conductivity(t quantity.Celsius) (WattPerMetreKelvin, error) {
	v, err := m.property(t, waterConductivity, func(w, t float64) float64 {
		return joined(w, t, conductivityTable.at, hotConductivity)
	})
	return WattPerMetreKelvin(v), wrap("conductivity", err)
}

// check refuses a temperature at which the mix is not liquid or nothing is known.
func (m Mix) check(t quantity.Celsius) error {
	if !(t >= m.Freezing() && t <= MaxTemp) {
		return fmt.Errorf("%v in %v glycerin: %w: freezing at %v to %v", t, m.Glycerin(), ErrRange, m.Freezing(), MaxTemp)
	}
	return nil
}

// property is water's own value without glycerin, the mix's from nearWater up, and
// between them the mix's, corrected by the ratio of the two without glycerin, which
// fades out. Below 0 °C, where water has no value, the ratio at 0 °C stands.
func (m Mix) property(t quantity.Celsius, water func(t float64) float64, mixed func(w, t float64) float64) (float64, error) {
	if err := m.check(t); err != nil {
		return 0, err
	}
	celsius := float64(t)
	switch share := m.w / nearWater; {
	case share == 0:
		return water(celsius), nil
	case share < 1:
		above := math.Max(celsius, 0)
		ratio := water(above) / mixed(0, above)
		return mixed(m.w, celsius) * (1 + (ratio-1)*(1-share)), nil
	}
	return mixed(m.w, celsius), nil
}

// joined is cold up to 40 °C and hot from 50 °C; between, hot corrected by the
// ratio of the two at 40 °C, fading out.
func joined(w, t float64, cold, hot func(w, t float64) float64) float64 {
	if t <= fitLimit {
		return cold(w, t)
	}
	ratio := cold(w, fitLimit) / hot(w, fitLimit)
	fade := math.Max(0, 1-(t-fitLimit)/10)
	return hot(w, t) * (1 + (ratio-1)*fade)
}

func coldViscosity(w, t float64) float64 { return 1000 * math.Exp(viscosityTable.at(w, t)) }

func wrap(what string, err error) error {
	if err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}
