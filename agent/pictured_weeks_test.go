package agent

import (
	"math"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/picture"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
)

// threeNights is an invented record: one night whole, one with four hours missing and a pump
// that ran, one that still runs at three.
func threeNights(t *testing.T, noon time.Time) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), RecordName)
	r, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	for i := range 6 * (48 + 15) {
		at := noon.Add(time.Duration(i) * 10 * time.Minute)
		h := at.Sub(noon).Hours()
		if h >= 24+6 && h < 24+10 {
			continue
		}
		warm := math.Cos((h - 2) / 24 * 2 * math.Pi)
		x := record.Reading{At: at, Loop: "bench", Charge: record.Known(0.7+0.2*warm, 0), Band: 0.06}
		for p, v := range map[control.Place]float64{control.Tank: 35 + 20*warm, control.Tunnel: 9 + 6*warm - h/24, control.Greenhouse: 4 + 9*warm, control.Bed: 10} {
			x.Places[p] = record.Known(v, 0)
		}
		if h > 24+12 && h < 24+20 && i%9 < 2 {
			x.Outputs.Pump, x.Outputs.Fans = 1, 1
		}
		r.Append(&x)
	}
	s := scribe{loop: "bench"}
	coldest, at := 5.1, noon.Add(18*time.Hour)
	low, high := 3.0, 7.0
	r.Append(nil, s.event(noon.Add(5*time.Hour), record.KindTonight, "plan", wire.Tonight{
		Way: "plan", HeatNeeded: true, ColdestC: &coldest, ColdestLowC: &low, ColdestHighC: &high, ColdestAt: &at,
	}))
	require.NoError(t, r.Close())
	return path
}

// weeksOf draws the nights of a record.
func weeksOf(t *testing.T, f *config.File, path string, count int) (weeks []*picture.Week, all []nightly.Night) {
	t.Helper()
	var p *PicturedNights
	var now time.Time
	all = tellNights(t, f, path, count, func(n *ToldNights) {
		p, now = NewPicturedNights(f, n.Zone, n.Usual), n.Now
		n.Seen = p.Add
	})
	weeks, err := p.Weeks(all, now)
	require.NoError(t, err)
	return weeks, all
}

// Three nights in °F: the coldest as it came and as it was expected, a gap, one that runs.
func TestPictureOfNights(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	weeks, _ := weeksOf(t, f, threeNights(t, time.Date(2026, 2, 3, 12, 0, 0, 0, SunZone(f))), 3)
	require.Len(t, weeks, 1)
	likeGolden(t, "nights-with-gap.svg", weeks[0])
}

// Eight nights are a picture of seven and one of one; a night of which nothing is recorded
// keeps its place.
func TestSevenNightsAPicture(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	weeks, all := weeksOf(t, f, threeNights(t, time.Date(2026, 2, 3, 12, 0, 0, 0, SunZone(f))), 8)
	require.Len(t, weeks, 2)
	assert.Len(t, weeks[0].Nights, 7)
	require.Len(t, weeks[1].Nights, 1)
	for i, n := range append(weeks[0].Nights, weeks[1].Nights...) {
		assert.Equal(t, i >= 5, n.Tunnel.Known(), n.Name)
		assert.Equal(t, all[i].From, n.From.UTC())
	}
}
