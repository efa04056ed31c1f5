package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"duskloop/sensors/quantity"
	"duskloop/sim/match"
	"duskloop/sim/pv"
)

// nameplateFlags are a panel's label.
type nameplateFlags struct {
	Voc      string `help:"Open-circuit voltage of one panel." required:"" placeholder:"VOLTS"`
	Isc      string `help:"Short-circuit current." required:"" placeholder:"AMPERES"`
	Vmp      string `help:"Voltage at maximum power." required:"" placeholder:"VOLTS"`
	Imp      string `help:"Current at maximum power." required:"" placeholder:"AMPERES"`
	Cells    int    `help:"Cells in series." required:""`
	Alpha    string `help:"Temperature coefficient of Isc, as '0.05 %/K'." required:"" placeholder:"%/K"`
	Beta     string `help:"Temperature coefficient of Voc, as '-0.31 %/K'." required:"" placeholder:"%/K"`
	Series   int    `help:"Panels in series." default:"1"`
	Parallel int    `help:"Strings in parallel." default:"1"`
}

// array is the panels as they are wired: one's label, the curve of all, the wiring.
type array struct {
	plate  pv.Nameplate
	module pv.Module
	wiring match.Wiring
}

// array is fitted to the label.
func (f nameplateFlags) array() (array, error) {
	n := pv.Nameplate{Cells: f.Cells}
	err := errors.Join(
		named("--voc", n.Voc.Set(f.Voc)), named("--isc", n.Isc.Set(f.Isc)),
		named("--vmp", n.Vmp.Set(f.Vmp)), named("--imp", n.Imp.Set(f.Imp)),
		coefficient("--alpha", f.Alpha, &n.Alpha), coefficient("--beta", f.Beta, &n.Beta),
	)
	if err != nil {
		return array{}, err
	}
	m, err := pv.Fit(n)
	if err != nil {
		return array{}, misused(err)
	}
	m, err = m.Array(f.Series, f.Parallel)
	return array{n, m, match.Wiring{Series: f.Series, Parallel: f.Parallel}}, misused(err)
}

// coefficient reads %/K into 1/K.
func coefficient(flag, text string, into *float64) error {
	number, ok := strings.CutSuffix(strings.TrimSpace(text), "%/K")
	if !ok {
		if number, ok = strings.CutSuffix(strings.TrimSpace(text), "%/°C"); !ok {
			return misuse("%s: write it in %%/K, as '-0.31 %%/K', not %q", flag, text)
		}
	}
	v, err := bareNumber(number)
	*into = v / 100
	return named(flag, err)
}

type elementCommand struct {
	nameplateFlags
	seasonFlags
	Resistance []string `help:"Of the element, as '1.44 ohm'; may be repeated with --weather." placeholder:"OHM"`
	Rated      []string `help:"Power on the element's label, as '100 W', with --rated-at in place of --resistance; may be repeated with --weather." placeholder:"WATTS"`
	RatedAt    []string `help:"Voltage on the element's label, as '12 V'; one for each --rated." placeholder:"VOLTS"`
	Cable      string   `help:"Resistance of the cable, both ways." default:"0 ohm"`
	Irradiance string   `help:"In the panel's plane." default:"1000 W/m2"`
	Cell       string   `help:"Temperature of the cells." default:"25 °C"`
	JSON       bool     `help:"Print JSON." name:"json"`
}

// elementPoint is the JSON form of one point of work.
type elementPoint struct {
	Isc      float64 `json:"isc_a"`
	Voc      float64 `json:"voc_v"`
	Imp      float64 `json:"imp_a"`
	Vmp      float64 `json:"vmp_v"`
	Pmp      float64 `json:"pmp_w"`
	Volts    float64 `json:"volt_v"` // across the element
	Amps     float64 `json:"current_a"`
	Power    float64 `json:"power_w"` // in the element
	MatchPct float64 `json:"match_pct"`
}

// Run prints what an element takes from a panel, at one light or over a season.
func (c *elementCommand) Run(s *session) error {
	a, err := c.array()
	if err != nil {
		return err
	}
	heaters, cable, err := c.heaters()
	if err != nil {
		return err
	}
	if c.Weather != "" {
		return c.season(s, a, heaters, cable)
	}
	if len(heaters) != 1 {
		return misuse("without --weather give one --resistance, or one --rated with --rated-at")
	}
	return c.point(s, a, heaters[0], cable)
}

func (c *elementCommand) point(s *session, a array, h heater, cable quantity.Ohm) error {
	var (
		g    quantity.WattPerSquareMetre
		cell quantity.Celsius
	)
	if err := errors.Join(irradiance("--irradiance", c.Irradiance, &g), named("--cell", cell.Set(c.Cell))); err != nil {
		return err
	}
	if cell < -60 || cell > 120 {
		return misuse("--cell: %v is outside -60 to 120 °C", cell)
	}
	x := workingPoint(a.module.At(g, cell), h.ohm, cable)
	if c.JSON {
		if over := h.over(a.most(h.ohm, cable, x.Power)); over != "" {
			fmt.Fprintln(s.err, over)
		}
		return printJSON(s.out, x)
	}
	fmt.Fprintf(s.out, "%v on the panel, cells at %v: the panel could give %.1f W (%.2f V, %.2f A)\n", g, cell, x.Pmp, x.Vmp, x.Imp)
	fmt.Fprintf(s.out, "an element of %v takes %.1f W (%.2f V, %.2f A): %.0f %% of it\n", h.ohm, x.Power, x.Volts, x.Amps, x.MatchPct)
	a.printRatings(s.out, h, cable, x.Power)
	return nil
}

// workingPoint is where a curve works on an element through a cable.
func workingPoint(curve pv.Curve, r, cable quantity.Ohm) elementPoint {
	best, at := curve.MaxPower(), curve.OnResistor(r+cable)
	amps := float64(at.Amps)
	x := elementPoint{
		Isc: float64(curve.ShortCircuit().Amps), Voc: float64(curve.OpenCircuit().Volts),
		Imp: float64(best.Amps), Vmp: float64(best.Volts), Pmp: float64(best.Power()),
		Volts: amps * float64(r), Amps: amps, Power: amps * amps * float64(r),
	}
	if x.Pmp > 0 {
		x.MatchPct = 100 * x.Power / x.Pmp
	}
	return x
}

func printJSON(w io.Writer, x any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(x)
}
