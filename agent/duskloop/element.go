package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"duskloop/sensors/quantity"
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

// module is the panels' curve, fitted to the label.
func (f nameplateFlags) module() (pv.Module, error) {
	n := pv.Nameplate{Cells: f.Cells}
	err := errors.Join(
		named("--voc", n.Voc.Set(f.Voc)), named("--isc", n.Isc.Set(f.Isc)),
		named("--vmp", n.Vmp.Set(f.Vmp)), named("--imp", n.Imp.Set(f.Imp)),
		coefficient("--alpha", f.Alpha, &n.Alpha), coefficient("--beta", f.Beta, &n.Beta),
	)
	if err != nil {
		return pv.Module{}, err
	}
	m, err := pv.Fit(n)
	if err != nil {
		return m, err
	}
	return m.Array(f.Series, f.Parallel)
}

// coefficient reads %/K into 1/K.
func coefficient(flag, text string, into *float64) error {
	number, ok := strings.CutSuffix(strings.TrimSpace(text), "%/K")
	if !ok {
		if number, ok = strings.CutSuffix(strings.TrimSpace(text), "%/°C"); !ok {
			return fmt.Errorf("%s: write it in %%/K, as '-0.31 %%/K', not %q", flag, text)
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
	Rated      string   `help:"Power on the element's label, as '100 W', with --rated-at in place of --resistance." placeholder:"WATTS"`
	RatedAt    string   `help:"Voltage on the element's label, as '12 V'." placeholder:"VOLTS"`
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
	m, err := c.module()
	if err != nil {
		return err
	}
	ohms, cable, err := c.resistances()
	if err != nil {
		return err
	}
	if c.Weather != "" {
		return c.season(s, m, ohms, cable)
	}
	if len(ohms) != 1 {
		return errors.New("without --weather give one --resistance")
	}
	return c.point(s, m, ohms[0], cable)
}

// resistances are those of the elements, as given or by a label, and the cable's.
func (c *elementCommand) resistances() ([]quantity.Ohm, quantity.Ohm, error) {
	var cable quantity.Ohm
	if err := cable.Set(c.Cable); err != nil || cable < 0 {
		return nil, 0, named("--cable", errors.Join(err, errors.New("not below zero")))
	}
	if c.Rated != "" || c.RatedAt != "" {
		r, err := c.rated()
		return []quantity.Ohm{r}, cable, err
	}
	if len(c.Resistance) == 0 {
		return nil, 0, errors.New("which element: --resistance, or --rated with --rated-at as its label says")
	}
	var ohms []quantity.Ohm
	for _, text := range c.Resistance {
		var r quantity.Ohm
		if err := r.Set(text); err != nil {
			return nil, 0, named("--resistance", err)
		}
		if !(r >= 0.01 && r <= 10000) {
			return nil, 0, named("--resistance", fmt.Errorf("%v is outside 0.01 to 10000 ohm", r))
		}
		ohms = append(ohms, r)
	}
	return ohms, cable, nil
}

// rated is the resistance of an element by its label.
func (c *elementCommand) rated() (quantity.Ohm, error) {
	if c.Rated == "" || c.RatedAt == "" || len(c.Resistance) > 0 {
		return 0, errors.New("--rated and --rated-at go together, and in place of --resistance")
	}
	var (
		power quantity.Watt
		at    quantity.Volt
	)
	if err := errors.Join(named("--rated", power.Set(c.Rated)), named("--rated-at", at.Set(c.RatedAt))); err != nil {
		return 0, err
	}
	r, err := pv.RatedResistance(power, at)
	return r, named("--rated", err)
}

func (c *elementCommand) point(s *session, m pv.Module, r, cable quantity.Ohm) error {
	var (
		g    quantity.WattPerSquareMetre
		cell quantity.Celsius
	)
	if err := errors.Join(irradiance("--irradiance", c.Irradiance, &g), named("--cell", cell.Set(c.Cell))); err != nil {
		return err
	}
	if cell < -60 || cell > 120 {
		return named("--cell", fmt.Errorf("%v is outside -60 to 120 °C", cell))
	}
	curve := m.At(g, cell)
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
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetIndent("", "  ")
		return e.Encode(x)
	}
	fmt.Fprintf(s.out, "%v on the panel, cells at %v: the panel could give %.1f W (%.2f V, %.2f A)\n", g, cell, x.Pmp, x.Vmp, x.Imp)
	fmt.Fprintf(s.out, "an element of %v takes %.1f W (%.2f V, %.2f A): %.0f %% of it\n", r, x.Power, x.Volts, x.Amps, x.MatchPct)
	fmt.Fprintln(s.out, "Use DC-rated switches and fuses, and a DC-rated thermal cut-out on the element.")
	return nil
}
