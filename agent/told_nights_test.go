package agent

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// handMade is a record of readings every ten minutes for some days from a noon on: 8 °C, and
// 3 °C from one to three by the clock there, at rest.
func handMade(t *testing.T, noon time.Time, days int, events ...record.Event) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), RecordName)
	r, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	for at := noon; at.Before(noon.AddDate(0, 0, days)); at = at.Add(10 * time.Minute) {
		x := record.Reading{At: at, Loop: "bench", Charge: record.Known(0.8, 0), Band: 0.05}
		air := 8.0
		if h := at.Hour(); h >= 1 && h < 3 {
			air = 3
		}
		for p, v := range map[control.Place]float64{control.Tank: 30, control.Tunnel: air, control.Greenhouse: 2, control.Bed: 9} {
			x.Places[p] = record.Known(v, 0)
		}
		r.Append(&x)
	}
	r.Append(nil, events...)
	require.NoError(t, r.Close())
	return path
}

// The clock is put forward: noon to noon is 23 hours and the hour from two is none; back: 25
// hours, and one to two comes twice. 5 °C less 3 °C is 4 K²h an hour.
func TestNightsWhenTheClockIsChanged(t *testing.T) {
	t.Parallel()
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	f := config.Demo()
	f.Loop().Crop.Minimum = 5
	for _, x := range []struct {
		noon           time.Time
		hours, squared float64
	}{
		{time.Date(2026, 3, 7, 12, 0, 0, 0, zone), 23, 4},
		{time.Date(2026, 3, 8, 12, 0, 0, 0, zone), 24, 8},
		{time.Date(2026, 10, 31, 12, 0, 0, 0, zone), 25, 12},
	} {
		path := handMade(t, x.noon, 1)
		n := tellNights(t, f, path, 1, func(n *ToldNights) { n.Zone = zone })[0]
		assert.Equal(t, x.noon.Format(time.DateOnly), n.Date)
		assert.InDelta(t, x.hours, n.To.Sub(n.From).Hours(), 1e-9)
		assert.InDelta(t, 100, n.RecordedPct, 1e-9, n.Date)
		assert.InDelta(t, x.squared, *n.Squared, 1e-9, n.Date)
		assert.False(t, n.Running)
		require.NotNil(t, n.Twin, n.TwinSilent)
	}
}

// The minimum is that which stood at dusk, where it was changed while running: 6 °C then, and
// 4 °C from nine in the evening on. (6-3)² K²h an hour, for two.
func TestNightsByTheMinimumAtDusk(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	zone := SunZone(f)
	noon := time.Date(2026, 1, 15, 12, 0, 0, 0, zone)
	s := scribe{loop: "bench"}
	change := func(at time.Time, from, to string) record.Event {
		return s.event(at, record.KindSetting, "loop.bench.crop.minimum", settingChange("crop.minimum", from, to))
	}
	path := handMade(t, noon, 2, change(noon.Add(time.Hour), "5 °C", "6 °C"), change(noon.Add(9*time.Hour), "6 °C", "4 °C"))
	all := tellNights(t, f, path, 2, nil)
	assert.InDelta(t, 6, all[0].MinimumC, 1e-9)
	assert.InDelta(t, 18, *all[0].Squared, 1e-9)
	assert.InDelta(t, 4, all[1].MinimumC, 1e-9)
	assert.InDelta(t, 2, *all[1].Squared, 1e-9)
}

// Sunset and sunrise are the place's (sim/sun/testdata names the source of its table: 36.1°
// north, 79.95° west, 2025-01-14).
func TestNightsHaveTheSunsDuskAndDawn(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	f.Site.Latitude, f.Site.Longitude = 36.1, -79.95
	noon := time.Date(2025, 1, 14, 12, 0, 0, 0, SunZone(f))
	n := tellNights(t, f, handMade(t, noon.AddDate(0, 0, -1), 2), 2, nil)
	assert.WithinDuration(t, time.Date(2025, 1, 14, 12, 30, 4, 0, time.UTC), *n[0].Dawn, time.Minute)
	assert.WithinDuration(t, time.Date(2025, 1, 14, 22, 28, 13, 0, time.UTC), *n[1].Dusk, time.Minute)
}

// The page's day and the night report's night are the same sum.
func TestThePagesDayIsTheNight(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	noon := time.Date(2026, 1, 15, 12, 0, 0, 0, SunZone(f))
	path := handMade(t, noon, 1)
	f.Daemon.Period = quantity.Span(10 * time.Minute)
	n := tellNights(t, f, path, 1, nil)[0]
	h := &housePage{parts: &parts{Options: Options{File: f, Simulated: true}}}
	h.file = new(atomic.Pointer[config.File])
	h.file.Store(f)
	r, err := record.OpenReadOnly(path)
	require.NoError(t, err)
	defer r.Close()
	d, err := h.sum(t.Context(), r, noon)
	require.NoError(t, err)
	assert.True(t, d.Known)
	assert.InDelta(t, *n.ColdestC, float64(d.Coldest), 1e-9)
	assert.Equal(t, *n.ColdestAt, d.ColdestAt.UTC())
	assert.InDelta(t, *n.Squared, d.Squared, 0.01)
	assert.InDelta(t, 8, float64(d.Highest), 1e-9)
}

// A night's document can be read back as it was.
func TestNightsDocumentRoundTrip(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	all := tellNights(t, f, handMade(t, time.Date(2026, 1, 15, 12, 0, 0, 0, SunZone(f)), 2), 2, nil)
	text, err := json.Marshal(all)
	require.NoError(t, err)
	var back []nightly.Night
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&back))
	assert.Equal(t, all, back)
}
