package sizing

import (
	"duskloop/agent"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/season"
)

// Tank is the mix and the vessel.
type Tank struct {
	Glycerin quantity.Share `json:"glycerin"` // by weight
	Freezing float64        `json:"freezing_c"`
	Boiling  float64        `json:"boiling_c"` // in the site's air
	// Outdoors and Indoors are the coldest of the winter outdoors and in the greenhouse.
	Outdoors float64 `json:"coldest_outdoors_c"`
	Indoors  float64 `json:"coldest_greenhouse_c"`
	// Less heat for each litre and kelvin than water has, as a share.
	Less     float64 `json:"heat_given_up"`
	Water    float64 `json:"water_l"`
	Pure     float64 `json:"glycerin_l"`
	Stored   float64 `json:"stored_wh"` // from the crop's minimum to tank.hot
	Closed   bool    `json:"closed"`
	Pressure string  `json:"pressure,omitempty"` // of a closed one, in words
	// A week's water from an open tank, L, in the mean of the winter with heat.
	Gone float64 `json:"evaporated_l_a_week"`
}

// mix of the file, which has been checked.
func (s *Sketch) mix() fluid.Mix {
	m, err := fluid.New(s.File.Loop().Tank.Glycerin)
	if err != nil {
		panic("a greenhouse file passed its check with a mix that is none: " + err.Error()) // a programmer's error
	}
	return m
}

// heatAt is where the mix's heat is compared with water's.
const heatAt = quantity.Celsius(40)

func (s *Sketch) tank(x *Light, off, warm *season.Flight) (t Tank, err error) {
	l, m := s.File.Loop(), s.mix()
	t = Tank{Glycerin: l.Tank.Glycerin, Freezing: float64(m.Freezing()), Outdoors: float64(x.coldest), Closed: bool(l.Tank.Closed)}
	t.Indoors = coldestHouse(off)
	air, boiling, err := agent.Boils(m, s.File.Site.Elevation)
	if err != nil {
		return t, err
	}
	t.Boiling = float64(boiling)
	mixed, err := perLitre(m)
	if err != nil {
		return t, err
	}
	water, err := perLitre(fluid.Mix{})
	if err != nil {
		return t, err
	}
	t.Less = 1 - mixed/water
	recipe, err := fluid.ForShare(l.Tank.Glycerin, l.Tank.Volume)
	if err != nil {
		return t, err
	}
	t.Water, t.Pure = float64(recipe.Water), float64(recipe.Glycerin)
	stored, err := agent.HeatStored(m, l.Tank.Volume, l.Crop.Minimum, l.Tank.Hot)
	if err != nil {
		return t, err
	}
	t.Stored = float64(stored)
	t.Gone = float64(warm.Meters.WaterGone) / float64(s.Over.Days) * 7 / fluid.WaterDensity
	if t.Closed {
		t.Pressure, err = agent.PressureInWords(l, m, air, s.File.Site.Units)
	}
	return t, err
}

// perLitre is the heat of a litre, measured at 20 °C, for a kelvin at heatAt, J/K.
func perLitre(m fluid.Mix) (float64, error) {
	rho, err := m.Density(20)
	if err != nil {
		return 0, err
	}
	cp, err := m.SpecificHeat(heatAt)
	return float64(rho) / 1000 * float64(cp), err
}

func coldestHouse(f *season.Flight) float64 {
	low := f.Seen[0].House
	for _, g := range f.Seen {
		low = min(low, g.House)
	}
	return float64(low)
}
