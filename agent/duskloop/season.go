package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/foresight"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

type seasonCommand struct {
	greenhouseFile
	placeFlags
	Weather string   `help:"Weather file: TMY3, PVGIS, NSRDB or plain CSV, told by its content. Without it invented weather." placeholder:"FILE"`
	Policy  []string `help:"How the heat is spent: ${policies}, or all. May be repeated." default:"all" placeholder:"POLICY"`
	Seed    uint64   `help:"Seed of probe errors and invented weather." default:"1"`
	Doubt   int      `help:"So many more plans that believe figures wrong at random by up to 25 %, and read the battery wrong by up to 10 %." placeholder:"N"`
	JSON    bool     `help:"Print JSON." name:"json"`
	SVG     string   `help:"Draw one of the coldest nights, a small picture for each policy, into this file too." name:"svg" placeholder:"FILE"`
}

// Run flies a winter, 1 October to 30 April (in the south April to October), by each policy
// asked for.
func (c *seasonCommand) Run(s *session) error {
	names, err := c.policies()
	if err != nil {
		return err
	}
	if c.Doubt < 0 {
		return misuse("--doubt is 0 or more, not %d", c.Doubt)
	}
	f, err := c.orDemo()
	if err != nil {
		return err
	}
	f, b, err := c.bench(s, f)
	if err != nil {
		return err
	}
	return c.tell(s, f, b, names)
}

// tell flies the policies on a bench, prints their scores and draws what was asked for.
func (c *seasonCommand) tell(s *session, f *config.File, b season.Bench, names []string) error {
	var file *replacement
	if c.SVG != "" {
		var err error
		if file, err = replace(c.SVG); err != nil {
			return err
		}
		defer file.drop()
	}
	flights, doubted, err := flyAll(s, b, names, c.Doubt)
	if err != nil {
		return err
	}
	if file != nil {
		if err := drawNight(file, f, b.Over, flights); err != nil {
			return err
		}
	}
	if c.JSON {
		return printJSON(s.out, append(scoresOf(flights), doubted...))
	}
	return printSeason(s.out, f, flights, doubted)
}

// drawNight writes one of the coldest nights into a file.
func drawNight(file *replacement, f *config.File, over season.Span, flights []season.Flight) error {
	p, err := agent.BesideNights(f, over, flights)
	if err != nil {
		return fmt.Errorf("--svg: %w", err)
	}
	return file.finish(p.Write)
}

func scoresOf(flights []season.Flight) []season.Score {
	scores := make([]season.Score, len(flights))
	for i, x := range flights {
		scores[i] = x.Score
	}
	return scores
}

// policies are those asked for, each once, in the order of the bench.
func (c *seasonCommand) policies() ([]string, error) {
	known := season.Policies()
	for _, p := range c.Policy {
		if p != "all" && !slices.Contains(known, p) {
			return nil, misuse("--policy: %s, or all, not %q", strings.Join(known, ", "), p)
		}
	}
	if slices.Contains(c.Policy, "all") {
		return known, nil
	}
	return slices.DeleteFunc(known, func(p string) bool { return !slices.Contains(c.Policy, p) }), nil
}

// bench is the greenhouse under the winter asked for, and its file, moved to where the
// weather is from.
func (c *seasonCommand) bench(s *session, f *config.File) (_ *config.File, b season.Bench, err error) {
	b.Steps = foresight.Steps
	if c.Weather == "" {
		b.Sky = func(weather.Sky) weather.Source { return agent.InventedWeather(f, c.Seed) }
		b.Over = winterOf(2025, sunOffset(f.Site.Longitude), f.Site.Latitude)
	} else if f, err = c.under(s, f, &b); err != nil {
		return f, b, err
	}
	site := agent.SunSite(f.Site)
	outdoors := b.Sky(site.Track()).At(b.Over.Start.Add(30 * time.Second)).Air
	b.House, err = agent.House(f, outdoors, c.Seed)
	return f, b, err
}

// under puts the greenhouse under the weather of a file, where that is from.
func (c *seasonCommand) under(s *session, f *config.File, b *season.Bench) (*config.File, error) {
	w, err := readWeather(c.Weather)
	if err != nil {
		return f, err
	}
	t := agent.Trial{File: f}
	site, err := (&simulateCommand{placeFlags: c.placeFlags, Weather: c.Weather}).stand(s, &t, w)
	if err != nil {
		return f, err
	}
	series, err := weather.NewSeries(w, site.Track())
	if err != nil {
		return f, fmt.Errorf("--weather %s: %w", c.Weather, err)
	}
	printNotes(s.err, c.Weather, w.Notes)
	printNotes(s.err, c.Weather, series.Notes)
	printDoubts(s.err, c.Weather, w, site)
	distrust(s.err, unbelievable(w, site))
	if b.Over, err = winterIn(w, series, site.Latitude); err != nil {
		return f, fmt.Errorf("--weather %s: %w", c.Weather, err)
	}
	b.Sky = func(sky weather.Sky) weather.Source {
		again, err := weather.NewSeries(w, sky)
		if err != nil {
			panic(fmt.Sprintf("a weather file that was read once: %v", err)) // a programmer's error
		}
		return again
	}
	return t.File, nil
}

// sunOffset is how far a clock by the sun is from UTC, in whole hours.
func sunOffset(longitude quantity.Angle) time.Duration {
	return time.Duration(float64(longitude) / 15 * float64(time.Hour)).Round(time.Hour)
}

// winterOf the year in which it begins, by a clock so far from UTC: October to April, or
// south of the equator April to October.
func winterOf(year int, offset time.Duration, latitude quantity.Angle) season.Span {
	first := time.Date(year, time.October, 1, 0, 0, 0, 0, time.UTC)
	last := time.Date(year+1, time.May, 1, 0, 0, 0, 0, time.UTC)
	if latitude < 0 {
		first, last = time.Date(year, time.April, 1, 0, 0, 0, 0, time.UTC), time.Date(year, time.November, 1, 0, 0, 0, 0, time.UTC)
	}
	return season.Span{Start: first.Add(-offset), Days: int(last.Sub(first).Hours() / 24), Offset: offset}
}

// winterIn is the first whole winter that a file tells of; a typical year has its months
// in season order.
func winterIn(f *weather.File, s *weather.Series, latitude quantity.Angle) (season.Span, error) {
	offset := f.Station.Offset
	if f.Typical {
		over := winterOf(2025, offset, latitude)
		return over, noWinter(over, s.Covers(over.Start, over.Start.AddDate(0, 0, over.Days)))
	}
	first, last := f.Intervals[0].Middle().Year(), f.Intervals[len(f.Intervals)-1].Middle().Year()
	if latitude < 0 { // its winter ends in the year in which it began
		last++
	}
	var over season.Span
	var why error
	for year := first; year < max(last, first+1); year++ {
		over = winterOf(year, offset, latitude)
		if why = s.Covers(over.Start, over.Start.AddDate(0, 0, over.Days)); why == nil {
			return over, nil
		}
	}
	return season.Span{}, noWinter(over, why)
}

func noWinter(over season.Span, why error) error {
	if why == nil {
		return nil
	}
	from := over.Start.Add(over.Offset)
	return fmt.Errorf("it holds no whole winter from %s to %s: %w", from.Format("2 January"), from.AddDate(0, 0, over.Days-1).Format("2 January"), why)
}
