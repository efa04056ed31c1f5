package agent

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// calibratedFile is the example with probes behind a bridge, its tank's probe half a
// degree high in ice and as much low at 50 °C.
func calibratedFile(t *testing.T) *config.File {
	t.Helper()
	text := strings.Replace(config.Example(), "[daemon]\n", "[daemon]\nprobes = \"bridge\"\nbridge_address = 25\nperiod = \"1 s\"\n", 1)
	text += "\n[loop.bench.calibration]\ntank = \"2026-10-03: 0.5 °C at 0 °C, 49.5 °C at 50 °C\"\n"
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	return f
}

// What is believed of a calibrated probe is corrected; the part's own code for "nothing
// measured yet", 85 °C, is still told from its bytes.
func TestCalibratedProbeIsBelievedCorrected(t *testing.T) {
	t.Parallel()
	f := calibratedFile(t)
	b := newBoard()
	b.line = devicemodel.NewOneWire(0)
	probe := devicemodel.NewDS18B20()
	probe.Set(49.5)
	b.line.Attach(0x28, 0x0a1de0110001, probe)
	bus, minds := newLateBridge(f, b), newBeliefs(f)
	tank := func() control.Temperature {
		bus.Begin(t.Context())
		r := bus.Read(t.Context(), string(f.Loop().Probes[control.Tank].ID))
		var look Look
		look.Probes[control.Tank] = r
		return minds.inputs(look, r.At).Places[control.Tank]
	}
	got := tank()
	require.Equal(t, control.NoTrouble, got.Trouble, got.Cause)
	assert.InDelta(t, 50, float64(got.Value), 1e-9)

	raw := devicemodel.NewDS18B20().Scratchpad() // as after power-on
	look := Look{}
	look.Probes[control.Tank] = sensors.Reading{At: time.Now(), Value: 85, Raw: raw, HasRaw: true, Cause: sensors.PowerOn}
	in := minds.inputs(look, time.Now()).Places[control.Tank]
	assert.NotEqual(t, control.NoTrouble, in.Trouble)
	assert.InDelta(t, 50, float64(in.Value), 1e-9, "the last believed stands")
}

// A simulated probe is as wrong as its calibration says, so that the same file gives
// true figures in both worlds.
func TestSimulatedProbeIsSpoiltAndCorrected(t *testing.T) {
	t.Parallel()
	plain, spoilt := config.Demo(), calibratedFile(t)
	start := time.Date(2026, 1, 15, 22, 0, 0, 0, time.UTC)
	believed := func(f *config.File) (said, taken quantity.Celsius) {
		g, err := NewGreenhouse(f, start, plant.Dusk(), 3)
		require.NoError(t, err)
		look := g.Look(start.Add(time.Minute))
		return look.Probes[control.Tank].Value, newBeliefs(f).inputs(look, start.Add(time.Minute)).Places[control.Tank].Value
	}
	said, taken := believed(plain)
	assert.InDelta(t, float64(said), float64(taken), 0, "without a calibration nothing is changed")
	wrong, right := believed(spoilt)
	assert.InDelta(t, float64(said)-0.5, float64(wrong), 1e-9)
	assert.InDelta(t, float64(taken), float64(right), 1e-9)
}

func TestCheckTellsOfCalibrations(t *testing.T) {
	t.Parallel()
	d, err := Derive(calibratedFile(t))
	require.NoError(t, err)
	all := ""
	for _, line := range d.Figures {
		all += line.What + ": " + line.Value + "\n"
	}
	assert.Contains(t, all, "probe of the tank: 32 °F is taken for 31.1 °F, 122 °F is taken for 122.9 °F (calibrated 2026-10-03)")
}
