package agent

import (
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
)

// The days before are judged by the crop's minimum as it stands: after a change anew.
func TestDaysAreJudgedByTheMinimumAsItStands(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	r, err := record.Open(filepath.Join(dir, RecordName), record.DefaultOptions())
	require.NoError(t, err)
	f := config.Demo()
	d := &parts{Options: Options{File: f, Simulated: true}, dir: dir, record: r}
	noon := time.Date(2026, 2, 2, 12, 0, 0, 0, d.zone())
	for at := noon; at.Before(noon.Add(2 * time.Hour)); at = at.Add(10 * time.Second) {
		x := record.Reading{At: at, Loop: "bench"}
		x.Places[control.Tunnel] = record.Known(5, 0)
		r.Append(&x)
	}
	require.NoError(t, r.Close())
	h := newHousePage(d)
	var now atomic.Pointer[config.File]
	h.file = &now
	cold := func(minimum string) float64 {
		f, _, err := f.With(map[string]string{"crop.minimum": minimum})
		require.NoError(t, err)
		now.Store(f)
		days, err := h.Days(t.Context(), noon.Add(30*time.Hour), 3)
		require.NoError(t, err)
		require.NotEmpty(t, days)
		return days[0].Squared
	}
	assert.Zero(t, cold("4 °C"))
	assert.InDelta(t, 2, cold("6 °C"), 0.01, "two hours a kelvin below")
	assert.InDelta(t, 8, cold("7 °C"), 0.02, "two hours two kelvin below")
	assert.Zero(t, cold("4 °C"))
}
