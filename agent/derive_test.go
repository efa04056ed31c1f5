package agent

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
)

// vesselWarning derives Alder Hollow's figures with a tank of the worked example of a
// closed vessel (4.971 L of 24 % glycerin, filled at sea level), changed by the case.
func vesselWarning(t *testing.T, change func(*config.File, *config.Tank)) string {
	t.Helper()
	f := config.Demo()
	l := f.Loop()
	f.Site.Elevation, f.Site.Units = 0, quantity.SI
	l.Element.CutOut = 95
	l.Tank.Volume, l.Tank.Glycerin = 4.971, 0.240
	l.Tank.Closed, l.Tank.Relief, l.Tank.Vessel = true, false, 6
	change(f, &l.Tank)
	d, err := Derive(f)
	require.NoError(t, err)
	for _, w := range d.Warnings {
		if strings.Contains(w, "closed") {
			return w
		}
	}
	return ""
}

func TestClosedVesselWarns(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name   string
		change func(*config.File, *config.Tank)
		says   []string
	}{
		// By hand as in the worked example of a closed vessel (closed at 20 °C: 230 kPa likely), but
		// closed at 5 °C, and the liquid at the upper end: 4.971 L x 1061.2 / 1019.55 / 0.995 =
		// 5.200 L, gas 1.029 then 0.800 L; air (101.33 - 0.81) x 1.3236 x 1.2864 = 171.1; vapour
		// 78.8; 249.9 kPa, which is 36.2 psi.
		{"room", func(*config.File, *config.Tank) {}, []string{"At 95 °C", "it may reach 250 kPa, which is 148.7", "kPa over the air", "at 100 °C",
			"the hottest that is known here", "closed at 5 °C or at 20 °C, whichever gives more", "if the cut-out fails the pressure goes on rising"}},
		{"us", func(f *config.File, _ *config.Tank) { f.Site.Units = quantity.US }, []string{"At 203 °F", "it may reach 36", "psi over the air"}},
		{"does not fit", func(_ *config.File, k *config.Tank) { k.Vessel = 5.1 }, []string{"the liquid no longer fits"}},
		{"no room", func(_ *config.File, k *config.Tank) { k.Vessel = 5.3 }, []string{"no bound", "counts as full"}},
		{"not told", func(_ *config.File, k *config.Tank) { k.Vessel = 0 }, []string{"not told", "no bound"}},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			w := vesselWarning(t, row.change)
			for _, text := range append(row.says, "can burst", "Fit a pressure relief valve and leave room", "Software is not the safeguard") {
				assert.Contains(t, strings.ToLower(w), strings.ToLower(text))
			}
		})
	}
	assert.Empty(t, vesselWarning(t, func(_ *config.File, k *config.Tank) { k.Closed = false }))
	assert.Empty(t, vesselWarning(t, func(_ *config.File, k *config.Tank) { k.Relief = true }))
}

// A mix of 35 % boils at 103.4 °C at sea level (fluid's own test), 3 K lower 1000 m up.
func TestBoilingOfTheSite(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	f.Site.Elevation, f.Site.Units = 1000, quantity.SI
	d, err := Derive(f)
	require.NoError(t, err)
	said := ""
	for _, x := range d.Figures {
		if strings.HasPrefix(x.What, "mix boils at") {
			said = x.What + " " + x.Value
		}
	}
	assert.Equal(t, "mix boils at (the site's air, 89.9 kPa) 100 °C", said)
}

func TestDerivedPanelFollowsTheLabel(t *testing.T) {
	t.Parallel()
	label := "resistance = \"1.15 ohm\"\nvoc = \"22.3 V\"\nvmp = \"18.4 V\"\nisc = \"5.95 A\"\nimp = \"5.43 A\"\ncells = 36\nin_parallel = 2"
	text := strings.Replace(config.Example(), `resistance = "1.15 ohm"`, label, 1)
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	d, err := Derive(f)
	require.NoError(t, err)
	// Two such panels side by side have 18.4 V over 10.86 A: 1.69 ohm.
	assert.Contains(t, fmt.Sprint(d.Figures), "1.69")
}
