package agent

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

// derived is what follows from the example with some lines of it changed, as text.
func derived(t *testing.T, pairs ...string) string {
	t.Helper()
	text := strings.Replace(config.Example(), `units = "us"`, `units = "si"`, 1)
	for i := 0; i < len(pairs); i += 2 {
		require.Equal(t, 1, strings.Count(text, "\n"+pairs[i]+"\n"), pairs[i])
		text = strings.Replace(text, "\n"+pairs[i]+"\n", "\n"+pairs[i+1]+"\n", 1)
	}
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	d, err := Derive(f)
	require.NoError(t, err)
	return fmt.Sprint(d.Figures) + "\n" + strings.Join(d.Warnings, "\n")
}

const label = "voc = \"22.3 V\"\nvmp = \"18.4 V\"\nisc = \"5.95 A\"\nimp = \"5.43 A\"\ncells = 36\nin_parallel = 2"

func TestWarnings(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		pairs []string
		says  string
	}{
		// 18.4 V x 5.43 A x 2 = 199.8 W
		{"another power than the label's", []string{`resistance = "1.15 ohm"`, "resistance = \"1.15 ohm\"\n" + label}, "element.panel says 420 W, but the label makes 200 W"},
		{"nameplate sun by the label", []string{`resistance = "1.15 ohm"`, "resistance = \"1.15 ohm\"\n" + label}, "h at 200 W"},
		{"two ways to give a cover", []string{`cover_loss = "20 W/K"`, "cover_loss = \"20 W/K\"\nlayers = 2"}, "Not used, since tunnel.cover_loss is given: tunnel.layers (line "},
		{"half a coil", []string{"[loop.bench.model]", "[loop.bench.model]\ncoil_bore = \"8 mm\""}, "model.coil_fins is not given: model.coil_bore (line "},
		{"vessel of an open tank", []string{`volume = "6.3 gal"`, "volume = \"6.3 gal\"\nvessel = \"8 gal\""}, "tank.closed is not true: tank.vessel (line "},
		{"series without a label", []string{`resistance = "1.15 ohm"`, "resistance = \"1.15 ohm\"\nin_series = 2"}, "element.in_series (line "},
		{"metrics for a network", []string{`# listen = "none"`, `listen = "0.0.0.0:9110"`}, "everybody on that network can read the figures"},
		{"boils first", []string{`elevation = "620 ft"`, `elevation = "4500 m"`}, "the tank may boil before heat is shed for danger"},
		{"cut-out first", []string{`cut_out = "195 °F"`, `cut_out = "82 °C"`, `dangerously_hot = "190 °F"`, `dangerously_hot = "88 °C"`}, "it is never reached while the cut-out works"},
		{"valve", []string{`volume = "6.3 gal"`, "volume = \"6.3 gal\"\nvessel = \"8 gal\"\nclosed = true\nrelief_valve = true"}, "to choose its relief valve by At 90.6 °C, where the thermal cut-out opens, it may reach"},
	}
	plain := derived(t)
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.NotContains(t, plain, row.says)
			assert.Contains(t, derived(t, row.pairs...), row.says)
		})
	}
	assert.NotContains(t, plain, "Not used")
}

// The element's own volts: amperes times ohms, and both make the watts.
func TestFullSunIsTheElements(t *testing.T) {
	t.Parallel()
	var watts, volts, amps float64
	text := derived(t)
	at := strings.Index(text, "cell 25 °C) ")
	require.Positive(t, at)
	_, err := fmt.Sscanf(text[at:], "cell 25 °C) %f W at %f V and %f A", &watts, &volts, &amps)
	require.NoError(t, err)
	assert.InDelta(t, 1.15*amps, volts, 0.02)
	assert.InDelta(t, volts*amps, watts, 0.6)
	assert.Contains(t, text, "if its label covers 420 W at 18.4 V with a margin")
}

// By hand with the equation of undisturbed pools (sim/plant): 0.74 x 95 Btu/(h ft2 inHg)
// are 65.5 W/(m2 kPa); water's vapour over the mix at 80 °C, 47.4 kPa (steam tables) times
// an activity of about 0.9, less 0.6 kPa of the air; latent heat 2305 kJ/kg. 0.05 m2: about
// 5.1 L a day.
func TestOpenTankSaysWhatLeavesIt(t *testing.T) {
	t.Parallel()
	text := derived(t, "[loop.bench.model]", "[loop.bench.model]\nopen_surface = \"0.05 m2\"")
	at := strings.Index(text, "°C about ")
	require.Positive(t, at, text)
	var litres float64
	_, err := fmt.Sscanf(text[at:], "°C about %f L of water leave it in a day", &litres)
	require.NoError(t, err)
	assert.InEpsilon(t, 5.1, litres, 0.05)
	assert.Contains(t, text, "an element that is not covered by liquid burns")
}
