package agent

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// A lumpedPlant is one of the plants of testdata by its own figures. They are those of
// an independent study of controllers on lumped plants (SI units; kg, J/kgK, W/K, W,
// ohm, Wh), written down here a second time.
type lumpedPlant struct {
	kg, loss, panels, ohm, coil, wh, charger float64
	share                                    float64 // of a full tunnel
}

// specificHeat of the study's mix, J/kgK.
const specificHeat = 3700

func lumpedPlants() map[string]lumpedPlant {
	return map[string]lumpedPlant{
		"large": {kg: 55, loss: 1.5, panels: 3, ohm: 3.24, coil: 25, wh: 1200, charger: 100, share: 1},
		"box":   {kg: 2, loss: 0.3, panels: 1, ohm: 3.24, coil: 20, wh: 420, charger: 50, share: 0.2},
		"small": {kg: 2, loss: 0.3, panels: 1, ohm: 1.44, coil: 20, wh: 420, charger: 50, share: 1},
	}
}

func lumpedFile(t testing.TB, name string) *config.File {
	t.Helper()
	f, err := config.Load(filepath.Join("..", "testdata", "plant-"+name+".toml"))
	require.NoError(t, err)
	return f
}

// is compares figures of any quantity, to a millionth of the wanted one.
func is[T ~float64](t *testing.T, want float64, got T, what string) {
	t.Helper()
	assert.InDelta(t, want, float64(got), 1e-6*max(1, want), what)
}

func TestLumpedPlantsHaveTheirFigures(t *testing.T) {
	t.Parallel()
	for name, want := range lumpedPlants() {
		p := plantParams(lumpedFile(t, name))
		require.NoError(t, p.Validate())
		is(t, want.kg*specificHeat, p.Tank.Capacity, name+" tank")
		is(t, want.loss, p.Tank.Loss, name+" tank loss")
		assert.Equal(t, plant.Taper{From: 88, Band: 2}, p.Tank.Taper, name)
		is(t, want.ohm/want.panels, p.Element.Resistance, name+" elements side by side")
		is(t, 0, p.Element.Cable, name+" cable")
		module, err := p.Element.Panel.Module()
		require.NoError(t, err)
		bright := module.At(1000, 25)
		is(t, 22, bright.OpenCircuit().Volts, name+" Voc")
		is(t, 6*want.panels, bright.ShortCircuit().Amps, name+" Isc")
		is(t, 100*want.panels, bright.MaxPower().Power(), name+" panels")
		is(t, want.coil, p.Coil.Lumped, name+" coil")
		is(t, 10, p.Loop.Pump, name+" pump")
		is(t, 20, p.Fans.Power, name+" fans")
		is(t, 1, p.Fans.InTunnel, name+" fans in the tunnel")
		lumpedTunnel(t, name, want.share, p.Tunnel)
		lumpedHouse(t, name, p.Greenhouse)
		lumpedSupply(t, name, want, p)
		nothingElse(t, name, p)
	}
}

func lumpedTunnel(t *testing.T, name string, share float64, got plant.Tunnel) {
	t.Helper()
	is(t, 60e3*share, got.Air, name+" air")
	is(t, 1.5e6*share, got.Bed, name+" bed")
	is(t, 15*share, got.BedToAir, name+" bed to air")
	is(t, 2*share, got.BedToSoil, name+" bed to soil")
	is(t, 10, got.Soil, name+" soil")
	is(t, 25*share, got.Cover, name+" cover")
	is(t, 0.4*2.5*share, got.Sun, name+" sun")
	is(t, 0.5, got.SunToBed, name+" sun to bed")
	is(t, 24.5, got.Vent.Opens, name+" vent")
	is(t, 1, got.Vent.Band, name+" vent band")
	is(t, (6-1)*25*share, got.Vent.Conductance, name+" vent, beside the cover")
}

func lumpedHouse(t *testing.T, name string, got plant.Greenhouse) {
	t.Helper()
	is(t, 400e3, got.Air, name+" house air")
	is(t, 120, got.Cover, name+" house cover")
	is(t, 0.55*15*0.3, got.Sun, name+" house sun")
	is(t, 27.5, got.Vent.Opens, name+" house vent")
	is(t, 1, got.Vent.Band, name+" house vent band")
	is(t, (6-1)*120, got.Vent.Conductance, name+" house vent, beside the cover")
}

func lumpedSupply(t *testing.T, name string, want lumpedPlant, p plant.Params) {
	t.Helper()
	s := p.Supply
	is(t, want.wh, 12*s.Battery.Drawn(20*time.Hour, 25), name+" battery")
	assert.Equal(t, battery.AGM, s.Battery.Chemistry, name)
	is(t, 0.85, s.Battery.Efficiency, name+" charge efficiency")
	is(t, want.charger, s.Panel.Rating, name+" battery panel")
	assert.Equal(t, plant.MaximumPower, s.Charger, name)
	is(t, 2, s.BaseLoad, name+" base load")
	for _, plane := range []struct{ tilt, facing quantity.Angle }{
		{p.Element.Panel.Plane.Tilt, p.Element.Panel.Plane.Facing}, {s.Panel.Plane.Tilt, s.Panel.Plane.Facing},
	} {
		is(t, 60, plane.tilt, name+" tilt")
		is(t, 180, plane.facing, name+" facing")
	}
}

// nothingElse holds that what the study did not know is off.
func nothingElse(t *testing.T, name string, p plant.Params) {
	t.Helper()
	assert.Zero(t, p.Loop.Volume, name)
	assert.Zero(t, p.Loop.PumpHeat, name)
	assert.Zero(t, p.Loop.Head, name)
	assert.Zero(t, p.Tank.OpenSurface, name)
	assert.Zero(t, p.Greenhouse.Leak, name)
	assert.Zero(t, p.Greenhouse.SkyLoss, name)
}

func TestLumpedPlantsAreDecidedAsTheStudyWas(t *testing.T) {
	t.Parallel()
	for name := range lumpedPlants() {
		f := lumpedFile(t, name)
		s, err := f.Settings()
		require.NoError(t, err)
		is(t, 5, s.Crop.Minimum, name+" crop")
		is(t, 0.5, s.Battery.Reserve, name+" reserve")
		assert.False(t, s.Battery.Placed, "its battery knows no cold")
		is(t, 8, s.Carry.Start, name+" start")
		is(t, 3, s.StopDifference(), name+" stop")
		assert.Equal(t, 3*time.Minute, s.Carry.MinRun, name)
		for p := range control.Places {
			seen := p == control.Tank || p == control.Tunnel || p == control.Greenhouse
			assert.Equal(t, seen, s.Fitted.Places[p], "%s: probe at %v", name, p)
		}
		assert.Positive(t, f.Daemon.PanelRatio, "the element's panel is measured")
		assert.Equal(t, quantity.Celsius(-40), s.Crop.Harm, "every kelvin below the minimum counts alike")
		d, err := Derive(f)
		require.NoError(t, err)
		require.Len(t, d.Warnings, 2, "%v", d.Warnings)
		assert.Contains(t, d.Warnings[0]+d.Warnings[1], "Do not run a real greenhouse by it")
	}
}

// Days of full sun with nothing drawn must not bring the tank to what is shed.
func TestLumpedTankStaysBelowHot(t *testing.T) {
	t.Parallel()
	for name := range lumpedPlants() {
		f := lumpedFile(t, name)
		start := plant.Dusk()
		start.Tank = 80
		p, err := plant.New(plantParams(f), time.Date(2026, 3, 20, 13, 0, 0, 0, time.UTC), start)
		require.NoError(t, err)
		hottest := quantity.Celsius(0)
		for range 9 * 60 {
			p.Step(time.Minute, plant.Act{ElementConnected: true}, weather.Sample{Air: 25, GHI: 900, DNI: 900, DHI: 120})
			hottest = max(hottest, p.Now().Tank)
		}
		assert.Greater(t, hottest, quantity.Celsius(88), name)
		assert.Less(t, hottest, min(90, f.Loop().Tank.Hot-1), name)
	}
}
