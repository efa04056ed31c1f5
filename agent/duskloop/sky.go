package main

import (
	"errors"
	"fmt"
	"io"
	"math"
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
	light, given, err := c.light(clear)
	if err != nil {
		return err
	}
	if given {
		if err := canBe(light, pos, extra); err != nil {
			return err
		}
	}
	hintOfZone(s.err, at, site)
	x := skyState{
		Zenith: float64(pos.Zenith), Apparent: float64(pos.Apparent), Azimuth: float64(pos.Azimuth),
		ClearGHI: float64(clear.GHI), Plane: float64(plane.HayDavies(pos, light, extra)),
	}
	if day := site.Day(at); !day.Rise.IsZero() {
		x.Sunrise, x.Sunset = stamp(day.Rise, at), stamp(day.Set, at)
	}
	if c.JSON {
		return printJSON(s.out, x)
	}
	return x.print(s, site.Day(at).Up, given)
}

// stamp is a time to the second, in the offset that the moment came with.
func stamp(t, like time.Time) *string {
	text := t.Round(time.Second).In(like.Location()).Format(time.RFC3339)
	return &text
}

func (x skyState) print(s *session, up, given bool) error {
	fmt.Fprintf(s.out, "sun %.2f° from the vertical (%.2f° as it looks), towards %.1f° from north\n", x.Zenith, x.Apparent, x.Azimuth)
	switch {
	case x.Sunrise != nil:
		fmt.Fprintf(s.out, "rises %s, sets %s\n", *x.Sunrise, *x.Sunset)
	case up:
		fmt.Fprintln(s.out, "the sun does not set on this day")
	default:
		fmt.Fprintln(s.out, "the sun does not rise on this day")
	}
	of := "of it on the panel"
	if given {
		of = "on the panel, of the light given (--ghi, --dni, --dhi)"
	}
	fmt.Fprintf(s.out, "clear sky on the ground %.0f W/m2; %s %.0f W/m2\n", x.ClearGHI, of, x.Plane)
	return nil
}

// place reads moment, site and plane.
func (c *skyCommand) place() (time.Time, sun.Site, sun.Plane, error) {
	var (
		site  sun.Site
		plane = sun.Plane{Albedo: sun.Ground}
	)
	at, err := time.Parse(time.RFC3339, c.At)
	if err != nil {
		return at, site, plane, misuse("--at: write 2026-01-15T12:00:00-05:00, not %q", c.At)
	}
	if at.Year() < firstYear || at.Year() > lastYear {
		return at, site, plane, misuse("--at: the year %d is outside %d to %d, for which the sun's place is given", at.Year(), firstYear, lastYear)
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
	return at, site, plane, misused(errors.Join(site.Validate(), plane.Validate()))
}

// light is the measured one where it was given, all of it, or the clear sky's.
func (c *skyCommand) light(clear sun.Light) (l sun.Light, given bool, err error) {
	if c.GHI == nil && c.DNI == nil && c.DHI == nil {
		return clear, false, nil
	}
	if c.GHI == nil || c.DNI == nil || c.DHI == nil {
		return clear, false, misuse("--ghi, --dni and --dhi go together")
	}
	err = errors.Join(irradiance("--ghi", *c.GHI, &l.GHI), irradiance("--dni", *c.DNI, &l.DNI), irradiance("--dhi", *c.DHI, &l.DHI))
	return l, true, err
}

// The years for which a moment is taken: the calendar and the Earth's turning are known
// well enough in them. A choice of ours.
const (
	firstYear = 1800
	lastYear  = 2200
)

// canBe refuses light that contradicts itself: a beam brighter than above the air, or
// direct and diffuse light far above the global one. The bounds are those of a weather
// file's rows.
func canBe(l sun.Light, pos sun.Position, extra quantity.WattPerSquareMetre) error {
	if l.DNI > extra {
		return misuse("--dni: %.0f W/m2 is more than the %.0f W/m2 above the air", float64(l.DNI), float64(extra))
	}
	sum := float64(l.DHI) + float64(l.DNI)*max(math.Cos(float64(pos.Zenith)*math.Pi/180), 0)
	if sum > float64(l.GHI)*(1+looseShare)+loosePower {
		return misuse("--ghi, --dni, --dhi: direct and diffuse light make %.0f W/m2 on level ground, far above the global %.0f W/m2: swapped, or another moment?", sum, float64(l.GHI))
	}
	return nil
}

// hintOfZone says when the clock's offset is far from the place's own: most often the
// minus of a western longitude was forgotten. UTC is nobody's clock in particular.
func hintOfZone(w io.Writer, at time.Time, site sun.Site) {
	_, seconds := at.Zone()
	clock, own := float64(seconds)/3600, float64(site.Longitude)/15
	if seconds != 0 && math.Abs(math.Remainder(clock-own, 24)) > 4 {
		fmt.Fprintf(w, "hint: the clock is %+.0f h from UTC, the sun at longitude %v about %+.0f h: west is minus\n", clock, site.Longitude, own)
	}
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
		return misuse("%s: %v is outside 0 to 2000 W/m2", flag, *into)
	}
	return nil
}
