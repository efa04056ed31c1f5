package main

import (
	"errors"

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

// mixing is a mix command whose words have been read.
type mixing struct {
	*mixCommand
	units     quantity.Units
	at        quantity.Celsius
	elevation quantity.Metre
	protect   quantity.Celsius
	total     quantity.Litre // 0 if not given
}

// Run prints what a mix is, or the recipe for one.
func (c *mixCommand) Run(s *session) error {
	if c.EthyleneGlycol != "" {
		return misuse("ethylene glycol is poisonous to people and animals and has no place near food; use food-grade glycerin")
	}
	m, err := c.read()
	if err != nil {
		return err
	}
	r, err := m.recipe()
	if err != nil {
		return err
	}
	x, err := m.look(r)
	if err != nil {
		return misused(plain(err))
	}
	if c.JSON {
		err = printJSON(s.out, x)
	} else {
		m.printText(s.out, r, x)
	}
	if err == nil && r.Share > fluid.Eutectic {
		err = misuse("%v glycerin by weight: figures are known for 0 to 60 %% and mixes are offered up to 66.7 %%", r.Share)
	}
	return err
}

// read reads the flags' words.
func (c *mixCommand) read() (*mixing, error) {
	m := &mixing{mixCommand: c}
	err := errors.Join(m.units.Set(c.Units), named("--at", m.at.Set(c.At)))
	if c.Elevation != "" {
		err = errors.Join(err, named("--elevation", m.elevation.Set(c.Elevation)))
	}
	if c.Protect != "" {
		err = errors.Join(err, named("--protect", m.protect.Set(c.Protect)))
	}
	if c.Volume != "" {
		err = errors.Join(err, named("--volume", m.total.Set(c.Volume)))
		if err == nil && !(m.total > 0) {
			err = misuse("--volume: more than none")
		}
	}
	return m, err
}

// tooStrong is a mix of which only the freezing point is known.
func tooStrong(w quantity.Share) bool { return w > fluid.MaxGlycerin && w <= 1 }

// recipe is what was asked for: by volumes, by share, or by protection.
func (m *mixing) recipe() (fluid.Recipe, error) {
	byVolumes := m.Water != "" || m.Glycerin != ""
	asked := 0
	for _, given := range []bool{byVolumes, m.MassFraction != nil, m.Protect != ""} {
		if given {
			asked++
		}
	}
	switch {
	case asked != 1:
		return fluid.Recipe{}, misuse("give one of --water with --glycerin, --mass-fraction, and --protect")
	case byVolumes && m.total > 0:
		return fluid.Recipe{}, misuse("--volume goes with --protect and --mass-fraction; of --water and --glycerin the volume follows")
	case byVolumes:
		return m.fromVolumes()
	}
	w, err := m.share()
	if err != nil || m.total == 0 {
		return fluid.Recipe{Share: w}, err
	}
	r, err := fluid.ForShare(w, m.total)
	return r, misused(plain(err))
}

func (m *mixing) fromVolumes() (fluid.Recipe, error) {
	var water, glycerin quantity.Litre
	if m.Water != "" {
		if err := water.Set(m.Water); err != nil {
			return fluid.Recipe{}, named("--water", err)
		}
	}
	if m.Glycerin != "" {
		if err := glycerin.Set(m.Glycerin); err != nil {
			return fluid.Recipe{}, named("--glycerin", err)
		}
	}
	if water < 0 || glycerin < 0 || water+glycerin == 0 {
		return fluid.Recipe{}, misuse("--water, --glycerin: volumes above zero")
	}
	r, err := fluid.FromVolumes(water, glycerin)
	if tooStrong(r.Share) { // and so without a density; said where it is printed
		return r, nil
	}
	return r, misused(plain(err))
}

// share is the asked-for share, or that of the protection asked for.
func (m *mixing) share() (quantity.Share, error) {
	if m.MassFraction != nil {
		return bareShare(*m.MassFraction)
	}
	w, err := fluid.Protecting(m.protect)
	if errors.Is(err, fluid.ErrRange) {
		return 0, misuse("--protect: no mix is offered for %s; %s at the lowest", m.protect.In(m.units), quantity.Celsius(-40).In(m.units))
	}
	return w, err
}

// bareShare reads "0.38" or "38 %".
func bareShare(text string) (quantity.Share, error) {
	var w quantity.Share
	if err := w.Set(text); err != nil {
		v, err := bareNumber(text)
		if err != nil {
			return 0, named("--mass-fraction", err)
		}
		if v > 1 && v <= 100 {
			return 0, misuse("--mass-fraction: %g is more than the whole; write %g or '%g %%' (known is 0 to 60 %%)", v, v/100, v)
		}
		w = quantity.Share(v)
	}
	if !(w >= 0 && w <= 1) {
		return 0, misuse("--mass-fraction: %v is no share of a whole (known is 0 to 60 %%)", w)
	}
	return w, nil
}
