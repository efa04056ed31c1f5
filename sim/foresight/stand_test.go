package foresight_test

import (
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/foresight"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// stand is one of the three plants by which a policy is judged, as our bench has them:
// made for it, no measurement of a greenhouse.
type stand struct {
	name     string
	plant    foresight.Plant
	panels   float64      // of 100 W, for the element
	element  quantity.Ohm // on each of them
	charging float64      // panels of 100 W for the battery
}

const crop = 5 // °C, the crop's minimum

func stands() []stand {
	small := withTank(2*3700, 0.3, 20, 420)
	box := small
	for _, f := range []*float64{&box.Air, &box.Bed, &box.BedToAir, &box.BedToSoil, &box.Cover, &box.TunnelSun, &box.TunnelVent.Conductance} {
		*f *= 0.2
	}
	return []stand{
		{"LARGE", withTank(55*3700, 1.5, 25, 1200), 3, 3.24, 1},
		{"BOX", box, 1, 3.24, 0.5},
		{"SMALL", small, 1, 1.44, 0.5},
	}
}

// withTank is the full tunnel on a tank in J/K, its loss and coil in W/K, and a battery
// in Wh.
func withTank(capacity, loss, coil, battery float64) foresight.Plant {
	return foresight.Plant{
		Tank: capacity, TankLoss: loss, Limit: foresight.Limit{Low: 88, High: 90},
		Coil: coil, Draw: 30, FanHeat: 20,
		Air: 60e3, Bed: 1.5e6, BedToAir: 15, BedToSoil: 2, Soil: 10, Cover: 25,
		TunnelSun: 0.4 * 2.5, SunToBed: 0.5,
		TunnelVent: foresight.Vent{Conductance: 6 * 25, Opens: 24.5, Band: 1},
		House:      400e3, HouseOut: 120, HouseSun: 0.55 * 15 * 0.3,
		HouseVent: foresight.Vent{Conductance: 6 * 120, Opens: 27.5, Band: 1},
		Battery:   foresight.Battery{Capacity: battery, Floor: battery / 2, ChargeEfficiency: 0.85, Base: 2},
		Start:     foresight.State{Tank: 20, Air: 12, Bed: 12, Battery: battery},
	}
}

// alderHollow is the invented site.
var alderHollow = sun.Site{Latitude: 44.2, Longitude: -78.6, Elevation: 250}

// source is the real year that DUSKLOOP_WEATHER names, or an invented one.
func source(t testing.TB) (s weather.Source, site sun.Site, zone *time.Location, real bool) {
	t.Helper()
	path := os.Getenv("DUSKLOOP_WEATHER")
	if path == "" {
		t.Log("DUSKLOOP_WEATHER is not set: an invented winter in place of a real year")
		return weather.New(weather.AlderHollow(), alderHollow.Track(), 1), alderHollow, time.FixedZone("", -5*3600), false
	}
	r, err := os.Open(path)
	require.NoError(t, err)
	defer func() { _ = r.Close() }()
	f, err := weather.Read(r)
	require.NoError(t, err)
	site = sun.Site{Latitude: f.Station.Latitude, Longitude: f.Station.Longitude, Elevation: f.Station.Elevation}
	series, err := weather.NewSeries(f, site.Track())
	require.NoError(t, err)
	return series, site, time.FixedZone("", int(f.Station.Offset/time.Second)), true
}

// sky makes minutes from a source: panels face south at 60°, cells are 0.03 K per W/m²
// in their plane warmer than the air.
func (s stand) sky(t testing.TB, from weather.Source, site sun.Site, start time.Time, minutes int) foresight.Sky {
	t.Helper()
	module, err := pv.Fit(pv.Nameplate{Voc: 22, Isc: 6, Vmp: 18, Imp: 100.0 / 18, Alpha: 0.0005, Beta: -0.003, Cells: 36})
	require.NoError(t, err)
	tracker, aim := site.Track(), sun.Plane{Tilt: 60, Facing: 180, Albedo: sun.Ground}.Aim()
	sky := foresight.Sky{Outdoors: make([]float64, minutes), GHI: make([]float64, minutes), Element: make([]float64, minutes), Charge: make([]float64, minutes)}
	for i := range minutes {
		at := start.Add(time.Duration(i)*time.Minute + 30*time.Second)
		w := from.At(at)
		sky.Outdoors[i], sky.GHI[i] = float64(w.Air), max(0, float64(w.GHI))
		if w.GHI <= 0 {
			continue
		}
		g := min(1500, aim.HayDavies(tracker.At(at), sun.Light{GHI: w.GHI, DNI: w.DNI, DHI: w.DHI}))
		curve := module.At(g, w.Air+quantity.Celsius(0.03*float64(g)))
		sky.Element[i] = s.panels * float64(curve.OnResistor(s.element).Power())
		sky.Charge[i] = s.charging * float64(curve.MaxPower().Power())
	}
	return sky
}

const (
	day    = 24 * 60
	winter = 212 * day // 1 October to 30 April
)

// steps is a budget, or little of it when raced.
func steps(all int) int {
	if raced {
		return all / 10
	}
	return all
}

// season is the whole winter on a stand; raced, four of its days. real says that
// the figures are to be those of the whole real one.
func (s stand) season(t testing.TB) (w *foresight.Winter, sky foresight.Sky, real bool) {
	t.Helper()
	from, site, zone, real := source(t)
	start, minutes := time.Date(2025, 10, 1, 0, 0, 0, 0, zone), winter
	if raced {
		t.Log("raced: four days of January in place of a winter")
		start, minutes, real = time.Date(2026, 1, 8, 0, 0, 0, 0, zone), 4*day, false
	}
	sky = s.sky(t, from, site, start, minutes)
	s.plant.Start.House = sky.Outdoors[0]
	w, err := foresight.NewWinter(s.plant, sky, foresight.FixedSpeed{}, crop)
	require.NoError(t, err)
	return w, sky, real
}
