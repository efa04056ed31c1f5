package fluid

import (
	"fmt"

	"duskloop/sensors/quantity"
)

// glycerolKgL is pure glycerol's density at 20 °C in kg/L (published values 1.26108 to
// 1.26134).
const glycerolKgL = 1.2611

// WaterDensity at 20 °C in kg/L (IAPWS-95, 101.325 kPa).
const WaterDensity = 0.9982

// Recipe is what is poured together, each measured at 20 °C, and the volume that
// comes of it: mixing shrinks the total by about one percent.
type Recipe struct {
	Water, Glycerin quantity.Litre // pure; 96 % glycerin counts as 4 % water by weight
	Total           quantity.Litre // zero where the mix's density is not known
	Share           quantity.Share // of glycerin by weight
}

// FromVolumes is the mix of two volumes. It refuses, with ErrRange, volumes that
// are not positive or a mix beyond 60 % by weight.
func FromVolumes(water, glycerin quantity.Litre) (Recipe, error) {
	if !(water >= 0 && glycerin >= 0 && water+glycerin > 0) || !quantity.Finite(water+glycerin) {
		return Recipe{}, fmt.Errorf("mixing %v and %v: %w: volumes above zero", water, glycerin, ErrRange)
	}
	mass := WaterDensity*float64(water) + glycerolKgL*float64(glycerin)
	r := Recipe{Water: water, Glycerin: glycerin, Share: quantity.Share(glycerolKgL * float64(glycerin) / mass)}
	m, err := New(r.Share)
	if err != nil {
		return r, err
	}
	rho, err := m.Density(20)
	r.Total = quantity.Litre(1000 * mass / float64(rho))
	return r, err
}

// ForShare is the recipe that gives a total volume at 20 °C of the mix with share
// w, up to 60 % by weight. For a stronger one Total is the sum of what is poured,
// about one percent more than comes of it.
func ForShare(w quantity.Share, total quantity.Litre) (Recipe, error) {
	if !(w >= 0 && w <= 1) || !(total > 0) || !quantity.Finite(total) {
		return Recipe{}, fmt.Errorf("%v of %v: %w: a share of 0 to 100 %% and a volume above zero", total, w, ErrRange)
	}
	litres := 1/WaterDensity*(1-float64(w)) + 1/glycerolKgL*float64(w) // per kg, before shrinking
	if m, err := New(w); err == nil {
		rho, err := m.Density(20)
		if err != nil {
			return Recipe{}, err
		}
		litres = 1000 / float64(rho)
	}
	mass := float64(total) / litres
	return Recipe{
		Water: quantity.Litre(mass * (1 - float64(w)) / WaterDensity), Glycerin: quantity.Litre(mass * float64(w) / glycerolKgL),
		Total: total, Share: w,
	}, nil
}

// coldest is the lowest protection that is offered: past it lie only tabulated
// points near the eutectic, and a liquid some hundred times as thick as water.
const coldest = quantity.Celsius(-40)

// Protecting is the weakest mix that freezes at t or below. It refuses, with
// ErrRange, temperatures below -40 °C.
func Protecting(t quantity.Celsius) (quantity.Share, error) {
	if !(t >= coldest) {
		return 0, fmt.Errorf("protection to %v: %w: %v at the lowest", t, ErrRange, coldest)
	}
	if t >= 0 {
		return 0, nil
	}
	for _, p := range strong {
		if p.w > float64(MaxGlycerin) && p.freezing <= float64(t) && t < (Mix{w: float64(MaxGlycerin)}).Freezing() {
			return quantity.Share(p.w), nil
		}
	}
	low, high := 0.0, float64(MaxGlycerin)
	for range 60 {
		mid := (low + high) / 2
		if (Mix{w: mid}).Freezing() <= t {
			high = mid
		} else {
			low = mid
		}
	}
	return quantity.Share(high), nil
}

// strong are tabulated freezing points of strong mixes in °C, the warmer where two
// sources differ: at 0.60, 0.70, 0.80, 0.90 and 1 Lange's Handbook of Chemistry,
// 15th ed., table 5.13; the others Lane, Ind. Eng. Chem. 17:924 (1925), from memory,
// unverified.
var strong = [...]struct{ w, freezing float64 }{
	{0.60, -33.6}, {0.65, -43.0}, {Eutectic, -46.5}, {0.70, -37.8}, {0.75, -29.8},
	{0.80, -19.2}, {0.85, -10.9}, {0.90, -1.6}, {1, 17},
}

// Eutectic is the share by weight past which more glycerin protects less (Lane
// 1925, from memory, unverified).
const Eutectic = 0.667

// FreezingPoint is the freezing point for any share from 0 to 100 % by weight. Up
// to 60 % it is Mix.Freezing. Above, where no curve is safe to follow, it is the
// warmer end of the tabulated interval.
func FreezingPoint(w quantity.Share) (quantity.Celsius, error) {
	if m, err := New(w); err == nil {
		return m.Freezing(), nil
	}
	if !(w > MaxGlycerin && w <= 1) {
		return 0, fmt.Errorf("freezing point of %v glycerin: %w: 0 to 100 %%", w, ErrRange)
	}
	i := 0
	for float64(w) > strong[i+1].w {
		i++
	}
	if float64(w) == strong[i+1].w {
		return quantity.Celsius(strong[i+1].freezing), nil
	}
	return quantity.Celsius(max(strong[i].freezing, strong[i+1].freezing)), nil
}
