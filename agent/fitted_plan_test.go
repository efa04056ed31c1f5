package agent

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/fitted"
)

// A greenhouse file that names a fit plans by it; without it by its own figures; and one that
// names none that is there, or that of another loop, is refused on the key's own line.
func TestPlanGoesByTheFit(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	g := fitted.Greenhouse{Loop: "bench", Made: time.Unix(1.77e9, 0).UTC(), Figures: []fitted.Figure{
		{Name: "tank loss", Unit: "W/K", File: 0.42, Value: 0.6, Low: 0.5, High: 0.7, Told: true},
		{Name: "tunnel cover", Unit: "W/K", File: 20, Value: 31, Low: 28, High: 34, Told: true},
		{Name: "element", Unit: "W", File: 339, Value: 280, Low: 270, High: 290, Told: true},
		{Name: "bed heat", Unit: "J/K", File: 330e3, Value: 900e3, Low: 1, High: 9e6},
		{Name: "bed to air", Unit: "W/K", File: 8, Value: 8, Low: 1, High: 20},
	}}
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	data, err := g.Encode()
	require.NoError(t, err)
	write("fitted.toml", string(data))
	own, err := planner(config.Demo())
	require.NoError(t, err)

	f, err := config.Load(write("greenhouse.toml", withFit(config.Example(), "fitted.toml")))
	require.NoError(t, err)
	require.NotNil(t, f.Fitted)
	s, err := planner(f)
	require.NoError(t, err)
	assert.InDelta(t, 0.6, s.Twin.TankLoss, 1e-9)
	assert.InDelta(t, 31, s.Twin.Cover, 1e-9)
	assert.InDelta(t, 280, s.Twin.Element, 1e-9)
	assert.InDelta(t, 900e3, s.Twin.Bed, 1, "the guess beside those that were told")
	assert.InDelta(t, own.Twin.BedToAir, s.Twin.BedToAir, 1e-9, "it is as the file has it")
	assert.NotEqual(t, own.Twin.TankLoss, s.Twin.TankLoss)

	_, err = config.Load(write("lost.toml", withFit(config.Example(), "none.toml")))
	require.ErrorContains(t, err, "model.fitted")
	g.Loop = "other"
	data, err = g.Encode()
	require.NoError(t, err)
	write("other.toml", string(data))
	_, err = config.Load(write("strange.toml", withFit(config.Example(), "other.toml")))
	require.ErrorContains(t, err, "fitted to the loop other")
}

// withFit is the example with a fit named.
func withFit(text, name string) string {
	return strings.Replace(text, `# fitted = ""`, fmt.Sprintf("fitted = %q", name), 1)
}
