package fitted_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/fitted"
	"duskloop/sensors/quantity"
	"duskloop/sim/fit"
	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// full is where the tests' files state their figures.
var full = fitted.Duties{Pump: 1, Fans: 1}

// result is a fit with two figures told and one refused; invented.
func result() *fit.Result {
	return &fit.Result{
		Figures: []fit.Figure{
			{Name: "tank loss", Unit: "W/K", File: 0.42, Value: 0.5512345, Low: 0.51, High: 0.59, Told: true},
			{Name: "coil", Unit: "W/K", File: 19, Value: 24, Low: 22, High: 26.2, Told: true},
			{Name: "element", Unit: "W", File: 339, Value: 300, Low: 280, High: 320, Told: true},
			{Name: "tunnel cover", Unit: "W/K", File: 20, Value: 20, Low: 5, High: 60, Why: "it may be 80 % off", Experiment: "wait"},
		},
		Nights: make([]fit.Night, 6), Left: []fit.Left{{Noon: 0, Why: "a door"}}, Air: 0.41, Tank: 0.6,
	}
}

func TestFileComesBack(t *testing.T) {
	t.Parallel()
	day := time.Date(2026, 2, 3, 12, 0, 0, 0, time.UTC)
	g := fitted.Of(result(), plant.AlderHollow(), full, "bench", day.AddDate(0, 0, -7), day, day.Add(time.Hour))
	data, err := g.Encode()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "fitted.toml")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	back, err := fitted.Load(path)
	require.NoError(t, err)
	assert.Equal(t, g, back)
	assert.Equal(t, 6, back.Nights)
	assert.Equal(t, 1, back.Left)
	assert.InDelta(t, 0.5512, back.Figures[0].Value, 1e-9, "four digits")
}

func TestFilesThatAreNone(t *testing.T) {
	t.Parallel()
	day := time.Date(2026, 2, 3, 12, 0, 0, 0, time.UTC)
	data, err := fitted.Of(result(), plant.AlderHollow(), full, "bench", day, day, day).Encode()
	require.NoError(t, err)
	for name, text := range map[string]string{
		"empty": "", "no toml": "=", "unknown key": "colour = 3\n" + string(data),
		"a coil of 5000": strings.Replace(string(data), "value = 24.0", "value = 5000.0", 1),
		"a coil of none": strings.Replace(string(data), "value = 24.0", "value = -1.0", 1),
		"not a number":   strings.Replace(string(data), "value = 24.0", "value = nan", 1),
	} {
		_, err := fitted.Decode([]byte(text))
		require.ErrorIs(t, err, fitted.ErrFile, name)
	}
	_, err = fitted.Load(filepath.Join(t.TempDir(), "none"))
	require.ErrorIs(t, err, os.ErrNotExist)
}

// Every figure that was found stands in the plant, so that its twin has them all: those that
// were told, and the guess beside them; the coil although it is described by its fins. What
// keeps the file's value, and all of a fit that told nothing, does not.
func TestFiguresStandInThePlant(t *testing.T) {
	t.Parallel()
	x := result()
	want := map[string]float64{
		"tank loss": 0.55, "coil": 24, "element": 300, "tunnel cover": 28, "tunnel air heat": 9000, "bed heat": 500e3,
		"bed to air": 11, "bed to soil": 2.2, "sun on air": 150, "sun on bed": 420, "pump and fans": 14, "always on": 3,
	}
	before := plant.AlderHollow()
	before.Tank.OpenSurface = 0.05
	own := byName(t, before)
	x.Figures = nil
	for name, v := range want {
		x.Figures = append(x.Figures, fit.Figure{Name: name, Unit: fit.Units()[name], File: own[name], Value: v, Low: 0.9 * v, High: 1.1 * v, Told: name != "tunnel cover"})
	}
	g := fitted.Of(x, before, full, "bench", time.Time{}, time.Time{}, time.Now())
	after := g.Plant(before, full)
	for name, got := range byName(t, after) {
		assert.InEpsilon(t, want[name], got, 2e-3, name)
	}
	assert.Empty(t, g.Changed(before, full))
	otherwise(t, g, before, want)
	assert.Zero(t, after.Tank.OpenSurface, "what evaporates is in the loss")

	var none *fitted.Greenhouse
	assert.Equal(t, before, none.Plant(before, full))
	for i := range x.Figures {
		x.Figures[i].Told = false
	}
	assert.Equal(t, before, fitted.Of(x, before, full, "bench", time.Time{}, time.Time{}, time.Now()).Plant(before, full), "nothing was told")
	lumped := before
	lumped.Coil = plant.Coil{Lumped: quantity.WattPerKelvin(own["coil"])}
	assert.InDelta(t, 24, float64(g.Plant(lumped, full).Coil.Lumped), 0)
	assert.InDelta(t, float64(before.Tunnel.Cover), float64(as(before).Tunnel.Cover), 0, "it is as the file has it")
}

// otherwise changes figures of the file after the fit: those go by the file, and are named.
func otherwise(t *testing.T, g *fitted.Greenhouse, p plant.Params, want map[string]float64) {
	t.Helper()
	p.Tunnel.Cover *= 4
	p.Tank.Volume *= 3
	twin := byName(t, g.Plant(p, full))
	assert.InEpsilon(t, float64(p.Tunnel.Cover), twin["tunnel cover"], 1e-9)
	assert.InEpsilon(t, want["tank loss"], twin["tank loss"], 2e-3)
	var names []string
	for _, c := range g.Changed(p, full) {
		names = append(names, c.Name)
	}
	assert.ElementsMatch(t, []string{"tunnel cover", "heat of the tank"}, names)
	p.Tank.Volume /= 3
	p.Tunnel.Cover = quantity.WattPerKelvin(want["tunnel cover"])
	assert.Empty(t, g.Changed(p, full), "the grower has written into the file what was found")
}

func as(before plant.Params) plant.Params {
	return fitted.Of(result(), before, full, "bench", time.Time{}, time.Time{}, time.Now()).Plant(before, full)
}

// byName are a plant's figures by the names that a fit gives them.
func byName(t *testing.T, p plant.Params) map[string]float64 {
	t.Helper()
	twin, _, err := season.TwinOf(p)
	require.NoError(t, err)
	return map[string]float64{
		"tank loss": twin.TankLoss, "coil": twin.Coil, "element": twin.Element, "tunnel cover": twin.Cover, "tunnel air heat": twin.Air, "bed heat": twin.Bed,
		"bed to air": twin.BedToAir, "bed to soil": twin.BedToSoil, "sun on air": twin.AirSun, "sun on bed": twin.BedSun, "pump and fans": twin.Draw, "always on": twin.Base,
	}
}

func TestVerdicts(t *testing.T) {
	t.Parallel()
	x := result()
	says := func() string {
		return fitted.Of(x, plant.AlderHollow(), full, "bench", time.Time{}, time.Time{}, time.Now()).Verdict(quantity.SI)
	}
	assert.Contains(t, says(), "good to 0.4 K in the tunnel")
	assert.Contains(t, says(), "not for sizing another tank or cover")
	assert.Contains(t, says(), "tunnel cover", "the one that is not told")
	assert.Contains(t, fitted.Of(x, plant.AlderHollow(), full, "bench", time.Time{}, time.Time{}, time.Now()).Verdict(quantity.US), "good to 0.7 °F in the tunnel")
	x.Figures[3].Told, x.Figures[3].High = true, 22
	assert.Contains(t, says(), "and for sizing")
	x.Air = 0.9
	assert.Contains(t, says(), "not to tell a night's coldest air")
	x.Air = 1.4
	assert.Contains(t, says(), "off by 1.4 K")
	assert.Contains(t, says(), "do not trust it")
}

func FuzzDecode(f *testing.F) {
	data, err := fitted.Of(result(), plant.AlderHollow(), full, "bench", time.Time{}, time.Time{}, time.Unix(1e9, 0)).Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		g, err := fitted.Decode(data)
		if err != nil {
			if !errors.Is(err, fitted.ErrFile) {
				t.Fatal(err)
			}
			return
		}
		p := plant.AlderHollow()
		p.Coil = plant.Coil{Lumped: 20}
		p = g.Plant(p, full)
		if !(p.Tank.Loss > 0 && p.Tunnel.Cover > 0) {
			t.Fatalf("%+v", p.Tank)
		}
	})
}
