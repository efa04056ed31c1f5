package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/sun"
)

type skyCommand struct {
	At        string  `help:"Moment with its offset, as 2026-01-15T12:00:00-05:00." required:"" placeholder:"TIME"`
	Latitude  string  `help:"Degrees, north positive." required:"" placeholder:"DEG"`
	Longitude string  `help:"Degrees, east positive." required:"" placeholder:"DEG"`
	Elevation string  `help:"Above the sea, as '273 m' or '900 ft'." default:"0 m"`
	Turbidity string  `help:"Linke turbidity of a clear sky." default:"3"`
	Tilt      string  `help:"Of the panel, degrees from the horizontal." default:"60"`
	Facing    string  `help:"Where the panel looks, degrees from north, clockwise." default:"180"`
	GHI       *string `help:"Measured global horizontal irradiance, W/m2; with --dni and --dhi in place of the clear sky." name:"ghi" placeholder:"W/M2"`
	DNI       *string `help:"Measured direct normal irradiance, W/m2." name:"dni" placeholder:"W/M2"`
	DHI       *string `help:"Measured diffuse horizontal irradiance, W/m2." name:"dhi" placeholder:"W/M2"`
	JSON      bool    `help:"Print JSON." name:"json"`
}

// skyState is the JSON form; sunrise and sunset are null where there is none.
type skyState struct {
	Zenith   float64 `json:"zenith_deg"` // topocentric, no refraction
	Apparent float64 `json:"apparent_zenith_deg"`
	Azimuth  float64 `json:"azimuth_deg"`
	Sunrise  *string `json:"sunrise"`
	Sunset   *string `json:"sunset"`
	ClearGHI float64 `json:"clear_sky_ghi_w_m2"`
	Plane    float64 `json:"plane_w_m2"`
}

// Run prints where the sun stands and what falls on a panel.
func (c *skyCommand) Run(s *session) error {
	at, site, plane, err := c.place()
	if err != nil {
		return err
	}
	pos, extra := site.Position(at), sun.Extraterrestrial(at)
	clear := site.IneichenPerez(pos.Apparent, extra)
	light, err := c.light(clear)
	if err != nil {
		return err
	}
	x := skyState{
		Zenith: float64(pos.Zenith), Apparent: float64(pos.Apparent), Azimuth: float64(pos.Azimuth),
		ClearGHI: float64(clear.GHI), Plane: float64(plane.HayDavies(pos, light, extra)),
	}
	if day := site.Day(at); !day.Rise.IsZero() {
		x.Sunrise, x.Sunset = stamp(day.Rise, at), stamp(day.Set, at)
	}
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetIndent("", "  ")
		return e.Encode(x)
	}
	return x.print(s, site.Day(at).Up)
}

// stamp is a time to the second, in the offset that the moment came with.
func stamp(t, like time.Time) *string {
	text := t.Round(time.Second).In(like.Location()).Format(time.RFC3339)
	return &text
}

func (x skyState) print(s *session, up bool) error {
	fmt.Fprintf(s.out, "sun %.2f° from the vertical (%.2f° as it looks), towards %.1f° from north\n", x.Zenith, x.Apparent, x.Azimuth)
	switch {
	case x.Sunrise != nil:
		fmt.Fprintf(s.out, "rises %s, sets %s\n", *x.Sunrise, *x.Sunset)
	case up:
		fmt.Fprintln(s.out, "the sun does not set on this day")
	default:
		fmt.Fprintln(s.out, "the sun does not rise on this day")
	}
	fmt.Fprintf(s.out, "clear sky on the ground %.0f W/m2, on the panel %.0f W/m2\n", x.ClearGHI, x.Plane)
	return nil
}

// place reads moment, site and plane.
func (c *skyCommand) place() (time.Time, sun.Site, sun.Plane, error) {
	var (
		site  sun.Site
		plane = sun.Plane{Albedo: 0.2}
	)
	at, err := time.Parse(time.RFC3339, c.At)
	if err != nil {
		return at, site, plane, fmt.Errorf("--at: write 2026-01-15T12:00:00-05:00, not %q", c.At)
	}
	turbidity, err := bareNumber(c.Turbidity)
	if err == nil && !(turbidity >= 1 && turbidity <= 10) {
		err = errors.New("a Linke turbidity is 1 to 10")
	}
	site.Turbidity = turbidity
	err = errors.Join(named("--turbidity", err),
		degrees("--latitude", c.Latitude, &site.Latitude), degrees("--longitude", c.Longitude, &site.Longitude),
		degrees("--tilt", c.Tilt, &plane.Tilt), degrees("--facing", c.Facing, &plane.Facing),
		named("--elevation", site.Elevation.Set(c.Elevation)))
	if err != nil {
		return at, site, plane, err
	}
	return at, site, plane, errors.Join(site.Validate(), plane.Validate())
}

// light is the measured one where it was given, all of it, or the clear sky's.
func (c *skyCommand) light(clear sun.Light) (sun.Light, error) {
	if c.GHI == nil && c.DNI == nil && c.DHI == nil {
		return clear, nil
	}
	if c.GHI == nil || c.DNI == nil || c.DHI == nil {
		return clear, errors.New("--ghi, --dni and --dhi go together")
	}
	var l sun.Light
	err := errors.Join(irradiance("--ghi", *c.GHI, &l.GHI), irradiance("--dni", *c.DNI, &l.DNI), irradiance("--dhi", *c.DHI, &l.DHI))
	return l, err
}

// named puts the flag's name before an error.
func named(flag string, err error) error {
	if err != nil {
		return fmt.Errorf("%s: %w", flag, err)
	}
	return nil
}

// degrees reads an angle with or without its unit.
func degrees(flag, text string, into *quantity.Angle) error {
	if v, err := bareNumber(text); err == nil {
		*into = quantity.Angle(v)
		return nil
	}
	return named(flag, into.Set(text))
}

// irradiance reads W/m2 with or without the unit, not below zero.
func irradiance(flag, text string, into *quantity.WattPerSquareMetre) error {
	v, err := bareNumber(text)
	if err == nil {
		*into = quantity.WattPerSquareMetre(v)
	} else if err := into.Set(text); err != nil {
		return named(flag, err)
	}
	if *into < 0 || *into > 2000 {
		return named(flag, fmt.Errorf("%v is outside 0 to 2000 W/m2", *into))
	}
	return nil
}
