package agent

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/internal/svgtest"
	"duskloop/agent/record"
	"duskloop/sensors/quantity"
)

// Shading begins at sunset and ends at sunrise: those of the Solar Position
// Algorithm (sim/sun/testdata/sun_position.csv names source and method), read back
// off the picture.
func TestNightsAgainstSPA(t *testing.T) {
	t.Parallel()
	text, err := os.Open(filepath.Join("..", "sim", "sun", "testdata", "sun_position.csv"))
	require.NoError(t, err)
	defer text.Close()
	r := csv.NewReader(text)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	checked := 0
	for _, row := range rows[1:] {
		checked += nightLike(t, rows[0], row)
	}
	assert.Greater(t, checked, 20)
}

// nightLike draws the day of a row from midnight to midnight; the night it has twice
// is cut off at both ends.
func nightLike(t *testing.T, names, row []string) int {
	t.Helper()
	of := make(map[string]string)
	for i, n := range names {
		of[n] = row[i]
	}
	f := config.Demo()
	f.Site.Latitude, f.Site.Longitude = quantity.Angle(parsedNumber(t, of["lat_deg"])), quantity.Angle(parsedNumber(t, of["lon_deg"]))
	zone := SunZone(f)
	from, err := time.ParseInLocation(time.DateOnly, of["local_date"], zone)
	require.NoError(t, err)
	p, err := NewPictured(f, from.Add(-2*time.Hour), from.Add(26*time.Hour), time.Minute)
	require.NoError(t, err)
	p.Add(&record.Reading{At: from.Add(time.Hour), Loop: "bench", Charge: record.Known(0.5, 0)})
	e := parsed(t, p)
	var edges []time.Time
	if n := e.Class("night"); n != nil {
		boxes, err := svgtest.Path(n.Attr["d"])
		require.NoError(t, err)
		for _, b := range boxes {
			for _, x := range []float64{b[0].X, b[1].X} {
				edges = append(edges, from.Add(time.Duration(((x-34)/(322-34)*28-2)*float64(time.Hour))))
			}
		}
	}
	n := 0
	for _, column := range []string{"sunrise_utc", "sunset_utc"} {
		if of[column] == "" {
			continue
		}
		want, err := time.Parse(time.RFC3339, of[column])
		require.NoError(t, err)
		near := time.Duration(math.MaxInt64)
		for _, at := range edges {
			near = min(near, at.Sub(want).Abs())
		}
		assert.Less(t, near, time.Minute, "%s of %s at %s", column, of["local_date"], of["lat_deg"])
		n++
	}
	return n
}

func parsedNumber(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// Where the sun does not set there is no night, and where it does not rise there is
// nothing else.
func TestNightsNearThePole(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	f.Site.Latitude, f.Site.Longitude = 75, 20
	june := time.Date(2026, 6, 20, 0, 0, 0, 0, time.UTC)
	assert.Empty(t, nights(f, june, june.Add(72*time.Hour)))
	december := time.Date(2026, 12, 20, 0, 0, 0, 0, time.UTC)
	all := nights(f, december, december.Add(72*time.Hour))
	require.Len(t, all, 1)
	assert.True(t, all[0].Set.Before(december) && all[0].Rise.After(december.Add(72*time.Hour)))
}

// By days the night stands in a column from noon to noon: sunset and sunrise of one
// row of the same table (36.1° north, 79.95° west, 2025-01-14), by the clock at the
// left. The night that follows it differs by less than two minutes.
func TestNightsByDaysAgainstSPA(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	f.Site.Latitude, f.Site.Longitude = 36.1, -79.95
	zone := SunZone(f)
	from := time.Date(2025, 1, 1, 12, 0, 0, 0, zone)
	p, err := NewPictured(f, from, from.AddDate(0, 0, 30), time.Minute)
	require.NoError(t, err)
	p.Add(&record.Reading{At: from, Loop: "bench", Charge: record.Known(0.5, 0)})
	g := parsed(t, p).Class("hours")
	var noons []float64
	for _, k := range g.Kids {
		if k.Text == "12:00" {
			y, err := strconv.ParseFloat(k.Attr["y"], 64)
			require.NoError(t, err)
			noons = append(noons, y-3.5)
		}
	}
	require.Len(t, noons, 2)
	boxes, err := svgtest.Path(g.Class("night").Attr["d"])
	require.NoError(t, err)
	require.Len(t, boxes, 30)
	clock := func(day int, y float64) time.Time {
		return from.AddDate(0, 0, day).Add(time.Duration((y - noons[0]) / (noons[1] - noons[0]) * float64(24*time.Hour)))
	}
	set := time.Date(2025, 1, 14, 22, 28, 13, 0, time.UTC)
	rise := time.Date(2025, 1, 14, 12, 30, 4, 0, time.UTC)
	assert.WithinDuration(t, set, clock(13, boxes[13][0].Y), time.Minute)
	assert.WithinDuration(t, rise, clock(12, boxes[12][2].Y), time.Minute)
}
