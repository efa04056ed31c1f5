package season_test

import (
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
	"duskloop/sim/battery"
	"duskloop/sim/coil"
	"duskloop/sim/plant"
	"duskloop/sim/pv"
	"duskloop/sim/season"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

func studyPlant(size string) plant.Params {
	south := sun.Plane{Tilt: 60, Facing: 180, Albedo: sun.Ground}
	label := pv.Nameplate{Voc: 22, Vmp: 18, Isc: 6, Imp: 5.556, Alpha: 0.0005, Beta: -0.0031, Cells: 36}
	p := plant.Params{
		Site:    sun.Site{Latitude: 36.1, Longitude: -79.95, Elevation: 273},
		Tank:    plant.Tank{Volume: 55, Glycerin: 0.3, Capacity: 55 * 3700, Loss: 1.5, Taper: plant.Taper{From: 88, Band: 2}},
		Element: plant.Element{Panel: plant.Panel{Nameplate: label, Series: 1, Parallel: 3, Plane: south}, Resistance: 3.24 / 3},
		Loop:    plant.Loop{Circuit: coil.Circuit{Flow: 10}, Pump: 10},
		Coil:    plant.Coil{Lumped: 25},
		Fans:    plant.Fans{Power: 20, InTunnel: 1},
		Tunnel: plant.Tunnel{
			Air: 60e3, Bed: 1.5e6, BedToAir: 15, BedToSoil: 2, Soil: 10, Cover: 25, Sun: 1, SunToBed: 0.5,
			Vent: plant.Vent{Opens: 24.5, Band: 1, Conductance: 150},
		},
		Greenhouse: plant.Greenhouse{Air: 400e3, Cover: 120, Sun: 0.55 * 15 * 0.3, Vent: plant.Vent{Opens: 27.5, Band: 1, Conductance: 720}},
		Supply: plant.Supply{
			Battery: battery.Typical(battery.AGM, 96), Panel: plant.Panel{Rating: 100, Plane: south},
			Charger: plant.MaximumPower, BaseLoad: 2,
		},
	}
	p.Supply.Battery.Capacity, p.Supply.Battery.Efficiency = 96, 0.85
	if size == "LARGE" {
		return p
	}
	p.Tank.Volume, p.Tank.Capacity, p.Tank.Loss = 2, 2*3700, 0.3
	p.Element.Panel.Parallel = 1
	p.Element.Resistance = 1.44
	p.Coil.Lumped = 20
	p.Supply.Battery.Capacity = 33.6
	p.Supply.Panel.Rating = 50
	if size == "BOX" {
		p.Element.Resistance = 3.24
		t := &p.Tunnel
		t.Air, t.Bed, t.BedToAir, t.BedToSoil, t.Cover, t.Sun = 12e3, 300e3, 3, 0.4, 5, 0.2
		t.Vent.Conductance = 30
	}
	return p
}

func studyStart() plant.State {
	return plant.State{Tank: 20, Coil: 20, Return: 20, Tunnel: 12, Bed: 12, Greenhouse: 15, Outdoors: 15, BatteryCharge: 1}
}

// realOrInvented is the real year named by DUSKLOOP_WEATHER, or three weeks of an invented one where
// there is none, or under the race detector.
func realOrInvented(tb testing.TB) (sky func(weather.Sky) weather.Source, over season.Span, isReal bool) {
	tb.Helper()
	name := os.Getenv("DUSKLOOP_WEATHER")
	if name == "" || raced {
		tb.Logf("three invented weeks in place of a real winter: DUSKLOOP_WEATHER is set: %t, raced: %t", name != "", raced)
		return func(s weather.Sky) weather.Source { return weather.New(weather.AlderHollow(), s, 1) },
			season.Span{Start: time.Date(2025, 12, 12, 5, 0, 0, 0, time.UTC), Days: 21, Offset: -5 * time.Hour}, false
	}
	in, err := os.Open(name)
	require.NoError(tb, err)
	defer in.Close()
	f, err := weather.Read(in)
	require.NoError(tb, err)
	east := f.Station.Offset
	return func(s weather.Sky) weather.Source {
		series, err := weather.NewSeries(f, s)
		require.NoError(tb, err)
		return series
	}, season.Span{Start: time.Date(2025, 10, 1, 0, 0, 0, 0, time.UTC).Add(-east), Days: 212, Offset: east}, true
}

func study(size string) season.House {
	h := season.House{Plant: studyPlant(size), Start: studyStart(), PanelMeasured: true}
	h.Settings = alderHollow().Settings
	h.Settings.Crop.Minimum = 5
	h.Settings.Battery.Reserve = 0.5
	h.Settings.Fitted.Places = [control.Places]bool{}
	for _, p := range []control.Place{control.Tank, control.Tunnel, control.Greenhouse} {
		h.Settings.Fitted.Places[p] = true
	}
	return h
}

// The simple policies beside an independent simulation of the same plant and
// year, K²h: squared degree-hours of Greensboro on the large plant (a study of ours
// with its own program, 60 s steps).
func TestPlainPoliciesAgreeWithTheStudy(t *testing.T) {
	t.Parallel()
	sky, span, isReal := realOrInvented(t)
	floor, err := season.NewLevelling(study("LARGE"))
	require.NoError(t, err)
	rows := []struct {
		pilot   season.Pilot
		squared float64
	}{
		{season.Off{}, 13365},
		{&season.Differential{On: 8, Off: 3}, 11961},
		{&season.Thermostat{On: 3, Band: 1, Over: 3, MinRun: 3 * time.Minute}, 8926},
		{floor, 8343},
	}
	before := math.Inf(1)
	for _, row := range rows {
		s, duties, err := season.Fly(study("LARGE"), span, sky, row.pilot)
		require.NoError(t, err)
		require.Len(t, duties, span.Days*24*60)
		t.Logf("%T: %.0f K²h, below %.0f, night minimum %.2f, 5th percentile %.2f °C, %.1f kWh, %.1f starts a day",
			row.pilot, s.Squared, s.Below, s.MeanMin, s.FifthMin, s.Battery, s.Starts)
		assert.Less(t, s.Squared, before)
		before = s.Squared
		if isReal {
			assert.InEpsilon(t, row.squared, s.Squared, 0.1)
		}
	}
}
