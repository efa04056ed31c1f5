package main

import (
	"errors"
	"path/filepath"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/sizing"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

type sizeCommand struct {
	greenhouseFile
	placeFlags
	Weather string   `help:"Weather file: TMY3, PVGIS, NSRDB or plain CSV, told by its content. Without it days are invented." placeholder:"FILE"`
	Lows    []string `help:"Invent days of these mean daily minima, January first: twelve, as '28 °F' or '-2 °C'." sep:"," placeholder:"TEMPERATURE"`
	Highs   []string `help:"Their mean daily maxima; without them those of the demonstration's climate, as far above the minima." sep:"," placeholder:"TEMPERATURE"`
	Policy  string   `help:"How the heat is spent: floor or thermostat." enum:"floor,thermostat" default:"floor"`
	Warm    string   `help:"Tank temperature that heating up is timed to." default:"60 °C" placeholder:"TEMPERATURE"`
	Units   string   `help:"us or si, for text and page; without it the greenhouse file's." placeholder:"UNITS"`
	Seed    uint64   `help:"Of invented weather." default:"1"`
	Vary    string   `help:"One question only: a key of the file from one value to another, as tank.volume=10L..80L." placeholder:"KEY=FROM..TO"`
	Steps   int      `help:"How many values of --vary." default:"8"`
	JSON    bool     `help:"Print JSON." name:"json"`
	HTML    string   `help:"Write the worksheet as a page to read on a telephone or to print." name:"html" placeholder:"FILE"`
	SVG     string   `help:"Draw the answer of --vary." name:"svg" placeholder:"FILE"`
}

// Run sizes the heater that a greenhouse file describes.
func (c *sizeCommand) Run(s *session) error {
	f, err := c.orDemo()
	if err != nil {
		return err
	}
	x, units, err := c.sketch(s, f)
	if err != nil {
		return err
	}
	if c.Vary != "" {
		return c.vary(s, x, units)
	}
	if c.SVG != "" {
		return misuse("--svg goes with --vary; the worksheet's pictures are in its page, --html")
	}
	return c.sheet(s, x, units)
}

// sketch is the greenhouse under the weather asked for.
func (c *sizeCommand) sketch(s *session, f *config.File) (*sizing.Sketch, quantity.Units, error) {
	units := f.Site.Units
	if c.Units != "" {
		if err := named("--units", units.Set(c.Units)); err != nil {
			return nil, units, err
		}
	}
	f, b, told, err := c.winter(s, f, units)
	if err != nil {
		return nil, units, err
	}
	x := &sizing.Sketch{File: f, Over: b.Over, Sky: b.Sky, Weather: told, Policy: c.Policy}
	if err := named("--warm", x.Warm.Set(c.Warm)); err != nil {
		return nil, units, err
	}
	if x.Warm <= f.Loop().Crop.Minimum || x.Warm > 95 {
		return nil, units, misuse("--warm: %s is not above the crop's minimum, or above %s", x.Warm.In(units), quantity.Celsius(95).In(units))
	}
	return x, units, x.Ready()
}

// winter is the weather of a file, or invented.
func (c *sizeCommand) winter(s *session, f *config.File, u quantity.Units) (*config.File, season.Bench, string, error) {
	var b season.Bench
	if c.Weather != "" {
		if len(c.Lows)+len(c.Highs) > 0 {
			return f, b, "", misuse("--weather and --lows: one of them")
		}
		f, err := (&seasonCommand{placeFlags: c.placeFlags, Weather: c.Weather}).under(s, f, &b)
		return f, b, "the winter of " + filepath.Base(c.Weather), err
	}
	f, err := c.moved(f)
	if err != nil {
		return f, b, "", err
	}
	climate, told, err := c.climate(f, u)
	if err != nil {
		return f, b, "", err
	}
	b.Sky = func(sky weather.Sky) weather.Source { return weather.New(climate, sky, c.Seed) }
	b.Over = winterOf(2025, sunOffset(f.Site.Longitude), f.Site.Latitude)
	return f, b, told, nil
}

// moved is the file at the latitude asked for; its own longitude where none is given.
func (c *sizeCommand) moved(f *config.File) (*config.File, error) {
	if c.Latitude == nil && c.Longitude == nil && c.Elevation == nil {
		return f, nil
	}
	next := *f
	var err error
	if c.Latitude != nil {
		err = degrees("--latitude", *c.Latitude, &next.Site.Latitude)
	}
	if c.Longitude != nil {
		err = errors.Join(err, degrees("--longitude", *c.Longitude, &next.Site.Longitude))
	}
	if c.Elevation != nil {
		err = errors.Join(err, named("--elevation", next.Site.Elevation.Set(*c.Elevation)))
	}
	if err != nil {
		return f, err
	}
	site := next.Site
	return &next, misused(agent.SunSite(site).Validate())
}
