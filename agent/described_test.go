package agent

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// described is the plant of the example with keys set at the end of sections.
func described(t *testing.T, section string, lines ...string) plant.Params {
	t.Helper()
	text := config.Example()
	open := "[loop.bench." + section + "]\n"
	require.Contains(t, text, open)
	f, err := config.Parse([]byte(strings.Replace(text, open, open+strings.Join(lines, "\n")+"\n", 1)))
	require.NoError(t, err)
	p := plantParams(f)
	require.NoError(t, p.Validate())
	_, err = plant.New(p, winterDusk, plant.Dusk())
	require.NoError(t, err)
	return p
}

func TestSingleEffectsAreSwitchedOff(t *testing.T) {
	t.Parallel()
	p := described(t, "model", `sky_share = "0 %"`, `house_vent = "0 W/K"`, `tunnel_vent = "0 W/K"`,
		`house_sun = "0 %"`, `tunnel_sun = "0 m2"`, `bed_to_soil = "0 W/K"`)
	assert.Zero(t, p.Greenhouse.SkyLoss)
	assert.Zero(t, p.Greenhouse.Vent.Conductance)
	assert.Zero(t, p.Tunnel.Vent.Conductance)
	assert.Zero(t, p.Greenhouse.Sun)
	assert.Zero(t, p.Tunnel.Sun)
	assert.Zero(t, p.Tunnel.BedToSoil)
	assert.Zero(t, p.Loop.Head, "off unless a head is given")
	assert.Zero(t, p.Tank.OpenSurface, "off unless a surface is given")
	assert.InDelta(t, 19, float64(p.Coil.Lumped), 1e-9)
}

func TestBatteryPanelLooksItsOwnWay(t *testing.T) {
	t.Parallel()
	p := described(t, "battery")
	assert.Equal(t, p.Element.Panel.Plane, p.Supply.Panel.Plane, "unless told, as the element's")
	assert.Equal(t, plant.Direct, p.Supply.Charger)
	p = described(t, "battery", `tilt = "35 deg"`, `facing = "0 deg"`, `controller = "maximum-power"`)
	assert.InDelta(t, 35, float64(p.Supply.Panel.Plane.Tilt), 1e-9)
	assert.Zero(t, p.Supply.Panel.Plane.Facing, "due north is told, not left out")
	assert.InDelta(t, 62, float64(p.Element.Panel.Plane.Tilt), 1e-9)
	assert.Equal(t, plant.MaximumPower, p.Supply.Charger)
}

func TestTaperAndVentBandsAreTheFiles(t *testing.T) {
	t.Parallel()
	p := described(t, "model")
	assert.Zero(t, p.Tank.Taper.Band, "no plain element tapers off")
	assert.InDelta(t, 2, float64(p.Tunnel.Vent.Band), 1e-9)
	p = described(t, "model", `taper_from = "70 °C"`, `taper_band = "5 K"`, `tunnel_vent_band = "4 K"`, `house_vent_band = "1 K"`, `sun_to_bed = "25 %"`)
	assert.Equal(t, plant.Taper{From: 70, Band: 5}, p.Tank.Taper)
	assert.InDelta(t, 4, float64(p.Tunnel.Vent.Band), 1e-9)
	assert.InDelta(t, 1, float64(p.Greenhouse.Vent.Band), 1e-9)
	assert.InDelta(t, 0.25, float64(p.Tunnel.SunToBed), 1e-9)
}

func TestLumpedFiguresTakePrecedence(t *testing.T) {
	t.Parallel()
	p := described(t, "model", `tank_heat = "90 kJ/K"`, `tunnel_air = "20 kJ/K"`, `house_air = "300 kJ/K"`)
	assert.InDelta(t, 90e3, float64(p.Tank.Capacity), 1e-6)
	assert.InDelta(t, 20e3, float64(p.Tunnel.Air), 1e-6)
	assert.InDelta(t, 300e3, float64(p.Greenhouse.Air), 1e-6)
	assert.InDelta(t, 100, float64(p.Greenhouse.Cover), 1e-9, "the example's own lumped figure")
	assert.Zero(t, p.Greenhouse.Leak, "leaks are in it")
}

func TestGlazingByAreaAndLayers(t *testing.T) {
	t.Parallel()
	text := strings.NewReplacer(`cover_loss = "100 W/K"`, `cover_loss = "0 W/K"`, `cover_loss = "20 W/K"`, `cover_area = "3.5 m2"`).Replace(config.Example())
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	p := plantParams(f)
	// A bench tunnel of 3.5 m² and 0.8 m³ under a single layer: about 22 W/K by the
	// middle of published bands; here 1.4 m³.
	assert.InDelta(t, 22, float64(p.Tunnel.Cover), 0.5)
	assert.InDelta(t, 16*plant.SingleGlazing, float64(p.Greenhouse.Cover), 1e-9)
	assert.InDelta(t, 0.33*2*70*0.09290304, float64(p.Greenhouse.Leak), 0.01, "one change an hour of floor x 2 m")
}

func TestCoilAndPanelInDetail(t *testing.T) {
	t.Parallel()
	p := described(t, "model", `pump_head = "1.6 m"`, `coil_fins = "42 W/K"`, `coil_bore = "8 mm"`)
	assert.InDelta(t, 1.6, float64(p.Loop.Head), 1e-9)
	assert.InDelta(t, 42, float64(p.Coil.Fins), 1e-9)
	assert.Zero(t, p.Coil.Lumped)
	p = described(t, "element", `voc = "22.3 V"`, `isc = "5.95 A"`, `vmp = "18.4 V"`, `imp = "5.43 A"`, `cells = 36`, `in_parallel = 2`)
	assert.Equal(t, 2, p.Element.Panel.Parallel)
	assert.Equal(t, 36, p.Element.Panel.Nameplate.Cells)
}

func TestDutyMeansWhatWasMeasured(t *testing.T) {
	t.Parallel()
	p := described(t, "pump", `pwm = "kernel"`, `duty = "50 %"`)
	// The example's 7 W and half a gallon a minute are those at the duty: the simulated
	// pump at half duty must draw and move just that.
	assert.InDelta(t, 2*0.5*3.785411784, float64(p.Loop.Flow), 1e-6)
	made, err := plant.New(p, winterDusk, plant.Dusk())
	require.NoError(t, err)
	made.Step(time.Minute, plant.Act{Pump: 0.5, Fans: 1}, weather.Sample{Air: 2, DewPoint: 0})
	now := made.Now()
	assert.InEpsilon(t, 7, float64(now.PumpAmps)*float64(now.BatteryVolts), 0.02)
	assert.InEpsilon(t, 0.5*3.785411784, float64(now.Flow), 1e-6)
}
