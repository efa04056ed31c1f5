package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"time"

	"duskloop/agent"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// under puts a trial under the weather of a file, from dusk of the day on.
func (c *simulateCommand) under(s *session, t agent.Trial, day time.Time) (agent.Trial, error) {
	text, err := os.ReadFile(c.Weather)
	if err != nil {
		return t, fmt.Errorf("--weather: %w", err)
	}
	first, days, err := weather.ReadDays(bytes.NewReader(text))
	switch {
	case err == nil:
		return c.underDays(t, day, first, days)
	case !errors.Is(err, weather.ErrNoDays):
		return t, fmt.Errorf("--weather %s: %w", c.Weather, err)
	}
	f, err := readWeather(c.Weather)
	if err != nil {
		return t, err
	}
	site, err := c.stand(s, &t, f)
	if err != nil {
		return t, err
	}
	series, err := weather.NewSeries(f, site.Track())
	if err != nil {
		return t, fmt.Errorf("--weather %s: %w", c.Weather, err)
	}
	printNotes(s.err, c.Weather, f.Notes)
	printNotes(s.err, c.Weather, series.Notes)
	printDoubts(s.err, c.Weather, f, site)
	distrust(s.err, unbelievable(f, site))
	if c.From == "" && !f.Typical {
		day = f.Intervals[0].Middle().Add(12 * time.Hour) // so that its dusk is within the file
	}
	t.Weather, t.Start = series, agent.Dusk(t.File, day)
	if err := series.Covers(t.Start, c.end(t)); err != nil {
		return t, fmt.Errorf("--weather %s: %w", c.Weather, err)
	}
	return t, nil
}

// end is when a trial ends.
func (c *simulateCommand) end(t agent.Trial) time.Time {
	return t.Start.Add(time.Duration(c.Days * 24 * float64(time.Hour)))
}

// stand moves the trial's greenhouse to where the weather is from, so that sun and
// weather agree; without a place said, the weather is taken to be the greenhouse's.
func (c *simulateCommand) stand(s *session, t *agent.Trial, f *weather.File) (sun.Site, error) {
	site, known, err := c.site(f)
	if err != nil {
		return site, err
	}
	at := t.File.Site
	if !known {
		fmt.Fprintf(s.err, "%s: it does not say where it is: taken for the greenhouse's own place\n", c.Weather)
		return agent.SunSite(at), nil
	}
	if math.Abs(float64(site.Latitude-at.Latitude)) > 0.1 || math.Abs(float64(site.Longitude-at.Longitude)) > 0.1 {
		fmt.Fprintf(s.err, "%s: the greenhouse is simulated where this weather is from, at %v, %v\n", c.Weather, site.Latitude, site.Longitude)
	}
	moved := *t.File
	moved.Site.Latitude, moved.Site.Longitude, moved.Site.Elevation = site.Latitude, site.Longitude, site.Elevation
	t.File = &moved
	return site, nil
}

// underDays puts a trial under invented skies with given minima and maxima.
func (c *simulateCommand) underDays(t agent.Trial, day, first time.Time, days []weather.Extremes) (agent.Trial, error) {
	if c.From == "" {
		day = first
	}
	g := agent.InventedWeather(t.File, c.Seed)
	g.Daily(first, days)
	t.Weather, t.Start = g, agent.Dusk(t.File, day)
	last := first.AddDate(0, 0, len(days)-1)
	if t.Start.Before(first.Add(-12*time.Hour)) || c.end(t).After(last.Add(36*time.Hour)) {
		return t, fmt.Errorf("--weather %s: it tells of %s to %s, not of all %g days from %s", c.Weather,
			first.Format(time.DateOnly), last.Format(time.DateOnly), c.Days, day.Format(time.DateOnly))
	}
	return t, nil
}
