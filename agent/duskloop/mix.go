package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

type mixCommand struct {
	Water          string  `help:"Water, as '4 L' or '1 gal'." placeholder:"VOLUME"`
	Glycerin       string  `help:"Pure food-grade glycerin." placeholder:"VOLUME"`
	MassFraction   *string `help:"Share of glycerin by weight, as 0.38 or '38 %'." placeholder:"SHARE"`
	At             string  `help:"Temperature of the properties." default:"20 °C"`
	Protect        string  `help:"Give the recipe that does not freeze above this." placeholder:"TEMPERATURE"`
	Volume         string  `help:"How much of it, for --protect and --mass-fraction." placeholder:"VOLUME"`
	EthyleneGlycol string  `help:"Refused: it is poisonous, and this is near food." placeholder:"VOLUME"`
	Units          string  `help:"us or si, for the text." enum:"us,si" default:"si"`
	JSON           bool    `help:"Print JSON." name:"json"`
}

// mixture is the JSON form; volume_l is null where no volumes were given.
type mixture struct {
	MassFraction float64        `json:"mass_fraction"`
	VolumeL      *float64       `json:"volume_l"`
	FreezingC    float64        `json:"freezing_c"`
	BoilingC     float64        `json:"boiling_c"`
	Density      float64        `json:"density_kg_m3"`
	SpecificHeat float64        `json:"specific_heat_j_kgk"`
	Viscosity    float64        `json:"viscosity_mpas"`
	Conductivity float64        `json:"conductivity_w_mk"`
	Recipe       *recipeVolumes `json:"recipe,omitempty"` // for --protect with --volume
}

type recipeVolumes struct {
	WaterL    float64 `json:"water_l"`
	GlycerinL float64 `json:"glycerin_l"`
}

// Run prints what a mix is, or the recipe for one.
func (c *mixCommand) Run(s *session) error {
	if c.EthyleneGlycol != "" {
		return errors.New("ethylene glycol is poisonous to people and animals and has no place near food; use food-grade glycerin")
	}
	r, err := c.recipe()
	if err != nil {
		return fmt.Errorf("%w%s", err, tooStrong(r.Share))
	}
	if c.JSON {
		return c.printJSON(s.out, r)
	}
	return c.printText(s.out, r)
}

// recipe is what was asked for: by volumes, by share, or by protection.
func (c *mixCommand) recipe() (fluid.Recipe, error) {
	asked := 0
	for _, given := range []bool{c.Water != "" || c.Glycerin != "", c.MassFraction != nil, c.Protect != ""} {
		if given {
			asked++
		}
	}
	if asked != 1 {
		return fluid.Recipe{}, errors.New("give one of --water with --glycerin, --mass-fraction, and --protect")
	}
	if c.Water != "" || c.Glycerin != "" {
		return c.fromVolumes()
	}
	w, err := c.share()
	if err != nil {
		return fluid.Recipe{Share: w}, err
	}
	if c.Volume == "" {
		return fluid.Recipe{Share: w}, nil
	}
	var total quantity.Litre
	if err := total.Set(c.Volume); err != nil {
		return fluid.Recipe{}, fmt.Errorf("--volume: %w", err)
	}
	return fluid.ForShare(w, total)
}

func (c *mixCommand) fromVolumes() (fluid.Recipe, error) {
	var water, glycerin quantity.Litre
	if c.Water != "" {
		if err := water.Set(c.Water); err != nil {
			return fluid.Recipe{}, fmt.Errorf("--water: %w", err)
		}
	}
	if c.Glycerin != "" {
		if err := glycerin.Set(c.Glycerin); err != nil {
			return fluid.Recipe{}, fmt.Errorf("--glycerin: %w", err)
		}
	}
	return fluid.FromVolumes(water, glycerin)
}

// share is the asked-for share, or that of the protection asked for.
func (c *mixCommand) share() (quantity.Share, error) {
	if c.MassFraction != nil {
		w, err := bareShare(*c.MassFraction)
		if err != nil {
			return 0, fmt.Errorf("--mass-fraction: %w", err)
		}
		_, err = fluid.New(w)
		return w, err
	}
	var t quantity.Celsius
	if err := t.Set(c.Protect); err != nil {
		return 0, fmt.Errorf("--protect: %w", err)
	}
	return fluid.Protecting(t)
}

// bareShare reads "0.38" or "38 %".
func bareShare(text string) (quantity.Share, error) {
	var w quantity.Share
	if err := w.Set(text); err == nil {
		return w, nil
	}
	v, err := bareNumber(text)
	return quantity.Share(v), err
}

// tooStrong adds what a grower must know about a mix past 60 %.
func tooStrong(w quantity.Share) string {
	if w <= fluid.MaxGlycerin || w > 1 {
		return ""
	}
	t, err := fluid.FreezingPoint(w)
	if err != nil {
		return ""
	}
	text := fmt.Sprintf("; %v by weight freezes at about %v", w, t)
	if w > fluid.Eutectic {
		text += "; past 66.7 % more glycerin protects less"
	}
	return text
}

// properties are those of the mix at the asked-for temperature.
func (c *mixCommand) properties(r fluid.Recipe) (mixture, error) {
	var at quantity.Celsius
	if err := at.Set(c.At); err != nil {
		return mixture{}, fmt.Errorf("--at: %w", err)
	}
	m, err := fluid.New(r.Share)
	if err != nil {
		return mixture{}, err
	}
	rho, err1 := m.Density(at)
	cp, err2 := m.SpecificHeat(at)
	mu, err3 := m.Viscosity(at)
	k, err4 := m.Conductivity(at)
	for _, err := range []error{err1, err2, err3, err4} {
		if err != nil {
			return mixture{}, err
		}
	}
	x := mixture{
		MassFraction: float64(r.Share), FreezingC: float64(m.Freezing()), BoilingC: float64(m.Boiling()),
		Density: float64(rho), SpecificHeat: float64(cp), Viscosity: float64(mu), Conductivity: float64(k),
	}
	if r.Total > 0 {
		total := float64(r.Total)
		x.VolumeL = &total
	}
	if c.Protect != "" && r.Total > 0 {
		x.Recipe = &recipeVolumes{float64(r.Water), float64(r.Glycerin)}
	}
	return x, nil
}

func (c *mixCommand) printJSON(w io.Writer, r fluid.Recipe) error {
	x, err := c.properties(r)
	if err != nil {
		return err
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(x)
}

func (c *mixCommand) printText(w io.Writer, r fluid.Recipe) error {
	var u quantity.Units
	if err := u.Set(c.Units); err != nil {
		return err
	}
	freezing, err := fluid.FreezingPoint(r.Share)
	if err != nil {
		return err
	}
	if r.Total > 0 {
		fmt.Fprintf(w, "%s water + %s glycerin (at 20 °C) make about %s\n", r.Water.In(u), r.Glycerin.In(u), r.Total.In(u))
	}
	fmt.Fprintf(w, "%v glycerin by weight; freezes at %s\n", r.Share, freezing.In(u))
	if r.Share > fluid.MaxGlycerin {
		fmt.Fprintln(w, "Past 60 % only a few tabulated points are known, and the mix is some hundred times as thick as water when cold: a small pump may not move it.")
	} else if err := c.printProperties(w, r, u); err != nil {
		return err
	}
	fmt.Fprintln(w, "A popular recipe, one part glycerin to two parts water by volume, freezes near -14.5 °C (5.9 °F), not -40.")
	return nil
}

func (c *mixCommand) printProperties(w io.Writer, r fluid.Recipe, u quantity.Units) error {
	x, err := c.properties(r)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "boils at %s at sea level\n", quantity.Celsius(x.BoilingC).In(u))
	fmt.Fprintf(w, "at %s: density %.1f kg/m3, specific heat %.0f J/(kg K), viscosity %.3g mPa s, conductivity %.4f W/(m K)\n",
		c.At, x.Density, x.SpecificHeat, x.Viscosity, x.Conductivity)
	return nil
}
