package agent

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

// cropFigures are those that are told of the example with crop lines replaced.
func cropFigures(t *testing.T, from, to string) map[string]string {
	t.Helper()
	text := config.Example()
	require.Contains(t, text, from)
	f, err := config.Parse([]byte(strings.Replace(text, from, to, 1)))
	require.NoError(t, err)
	d, err := Derive(f)
	require.NoError(t, err)
	told := make(map[string]string)
	for _, x := range d.Figures {
		told[x.What] = x.Value
	}
	return told
}

func TestCheckTellsTheCropAndWhoseFiguresItHas(t *testing.T) {
	t.Parallel()
	own := cropFigures(t, `kind = "lettuce"`, `kind = "lettuce"`)
	assert.Equal(t, "lettuce", own["crop"])
	assert.Contains(t, own["crop's minimum"], "43 °F (your own; usual for it: 35.6 °F, our judgement; Runkle")
	assert.Contains(t, own["cold does lasting harm below"], "32 °F (PMC10202904, table 2")
	usual := cropFigures(t, "kind = \"lettuce\"", "kind = \"spinach\"\nharm = \"30 °F\"")
	assert.Contains(t, usual["cold does lasting harm below"], "30 °F (your own; usual for it: 23 °F")
	low := cropFigures(t, `minimum = "43 °F"`, `minimum = "30 °F"`)
	assert.Contains(t, low["cold does lasting harm below"], "30 °F (your minimum; usual for it: 32 °F")
	none := cropFigures(t, `kind = "lettuce"`, `kind = ""`)
	assert.Contains(t, none["crop"], "not named (crop.kind); 43 °F at the least")
	assert.NotContains(t, none, "crop's minimum")
}
