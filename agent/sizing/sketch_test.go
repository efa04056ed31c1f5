package sizing_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/sizing"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// invented is a sketch of a file of testdata under some days of invented weather.
func invented(t *testing.T, file string, days int) *sizing.Sketch {
	t.Helper()
	f := config.Demo()
	if file != "" {
		var err error
		f, err = config.Load(filepath.Join("..", "..", "testdata", file))
		require.NoError(t, err)
	}
	s := &sizing.Sketch{
		File: f, Policy: season.PolicyFloor, Warm: 60, Weather: "invented",
		Over: season.Span{Start: time.Date(2025, 12, 20, 5, 0, 0, 0, time.UTC), Days: days, Offset: -5 * time.Hour},
		Sky:  func(sky weather.Sky) weather.Source { return weather.New(weather.AlderHollow(), sky, 1) },
	}
	require.NoError(t, s.Ready())
	return s
}

// real is a sketch of a file of testdata under the real typical year; nil without it.
func real(t *testing.T, file string) *sizing.Sketch {
	t.Helper()
	path := os.Getenv("DUSKLOOP_WEATHER")
	if raced {
		t.Log("raced: no whole winter is flown")
		return nil
	}
	if path == "" {
		t.Log("DUSKLOOP_WEATHER is not set: not checked on the real year here")
		return nil
	}
	in, err := os.Open(path)
	require.NoError(t, err)
	defer in.Close()
	w, err := weather.Read(in)
	require.NoError(t, err)
	f, err := config.Load(filepath.Join("..", "..", "testdata", file))
	require.NoError(t, err)
	f.Site.Latitude, f.Site.Longitude, f.Site.Elevation = w.Station.Latitude, w.Station.Longitude, w.Station.Elevation
	s := &sizing.Sketch{
		File: f, Policy: season.PolicyFloor, Warm: 60, Weather: "a real typical year",
		Over: season.Span{Start: time.Date(2025, 10, 1, 0, 0, 0, 0, time.UTC).Add(-w.Station.Offset), Days: 212, Offset: w.Station.Offset},
		Sky: func(sky weather.Sky) weather.Source {
			x, err := weather.NewSeries(w, sky)
			require.NoError(t, err)
			return x
		},
	}
	require.NoError(t, s.Ready())
	return s
}
