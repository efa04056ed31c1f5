package main

import (
	"cmp"
	"errors"
	"fmt"

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
	Elevation      string  `help:"Above the sea, as '2000 m' or '6500 ft': the mix boils lower there." placeholder:"HEIGHT"`
	EthyleneGlycol string  `help:"Refused: it is poisonous, and this is near food." placeholder:"VOLUME"`
	Units          string  `help:"us or si, for the text." enum:"us,si" default:"si"`
	JSON           bool    `help:"Print JSON." name:"json"`
}

// Run prints what a mix is, or the recipe for one.
func (c *mixCommand) Run(s *session) error {
	if c.EthyleneGlycol != "" {
		return errors.New("ethylene glycol is poisonous to people and animals and has no place near food; use food-grade glycerin")
	}
	r, err := c.recipe()
	if err != nil && !tooStrong(r.Share) {
		return err
	}
	x, wrong := c.look(r)
	if wrong != nil {
		return wrong
	}
	if c.JSON {
		wrong = x.printJSON(s.out)
	} else {
		wrong = c.printText(s.out, r, x)
	}
	return cmp.Or(err, wrong)
}

// tooStrong is a mix of which only the freezing point is known.
func tooStrong(w quantity.Share) bool { return w > fluid.MaxGlycerin && w <= 1 }

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
