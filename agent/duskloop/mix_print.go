package main

import (
	"encoding/json"
	"fmt"
	"io"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

// mixture is the JSON form. volume_l is null where no volumes were given; past 60 %
// by weight only the freezing point is known, and what is not known is null.
type mixture struct {
	MassFraction float64        `json:"mass_fraction"`
	VolumeL      *float64       `json:"volume_l"`
	FreezingC    float64        `json:"freezing_c"`
	BoilingC     *float64       `json:"boiling_c"`
	Density      *float64       `json:"density_kg_m3"`
	SpecificHeat *float64       `json:"specific_heat_j_kgk"`
	Viscosity    *float64       `json:"viscosity_mpas"`
	Conductivity *float64       `json:"conductivity_w_mk"`
	PressureKPa  *float64       `json:"pressure_kpa,omitempty"` // of the air, for --elevation
	Recipe       *recipeVolumes `json:"recipe,omitempty"`       // for --protect with --volume
}

type recipeVolumes struct {
	WaterL    float64 `json:"water_l"`
	GlycerinL float64 `json:"glycerin_l"`
}

// look gathers what is known of the mix at the asked-for temperature and height.
func (c *mixCommand) look(r fluid.Recipe) (mixture, error) {
	freezing, err := fluid.FreezingPoint(r.Share)
	if err != nil {
		return mixture{}, err
	}
	x := mixture{MassFraction: float64(r.Share), FreezingC: float64(freezing)}
	if r.Total > 0 {
		x.VolumeL = known(r.Total)
	}
	if c.Protect != "" && r.Total > 0 {
		x.Recipe = &recipeVolumes{float64(r.Water), float64(r.Glycerin)}
	}
	if tooStrong(r.Share) {
		return x, nil
	}
	m, err := fluid.New(r.Share)
	if err != nil {
		return mixture{}, err
	}
	if err := x.properties(m, c.At); err != nil {
		return mixture{}, err
	}
	return x, x.boiling(m, c.Elevation)
}

func known[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}

// properties are those at a temperature.
func (x *mixture) properties(m fluid.Mix, text string) error {
	var at quantity.Celsius
	if err := at.Set(text); err != nil {
		return fmt.Errorf("--at: %w", err)
	}
	rho, err1 := m.Density(at)
	cp, err2 := m.SpecificHeat(at)
	mu, err3 := m.Viscosity(at)
	k, err4 := m.Conductivity(at)
	for _, err := range []error{err1, err2, err3, err4} {
		if err != nil {
			return err
		}
	}
	x.Density, x.SpecificHeat, x.Viscosity, x.Conductivity = known(rho), known(cp), known(mu), known(k)
	return nil
}

// boiling is that at sea level, or at a height if one is given.
func (x *mixture) boiling(m fluid.Mix, height string) error {
	x.BoilingC = known(m.Boiling())
	if height == "" {
		return nil
	}
	var elevation quantity.Metre
	if err := elevation.Set(height); err != nil {
		return fmt.Errorf("--elevation: %w", err)
	}
	p, err := fluid.AirPressure(elevation)
	if err != nil {
		return fmt.Errorf("--elevation: %w", err)
	}
	t, err := m.BoilingAt(p)
	x.BoilingC, x.PressureKPa = known(t), known(p)
	return err
}

func (x mixture) printJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(x)
}

func (c *mixCommand) printText(w io.Writer, r fluid.Recipe, x mixture) error {
	var u quantity.Units
	if err := u.Set(c.Units); err != nil {
		return err
	}
	if r.Total > 0 {
		fmt.Fprintf(w, "%s water + %s glycerin (at 20 °C) make about %s\n", r.Water.In(u), r.Glycerin.In(u), r.Total.In(u))
	}
	fmt.Fprintf(w, "%v glycerin by weight; freezes at %s\n", r.Share, quantity.Celsius(x.FreezingC).In(u))
	if tooStrong(r.Share) {
		fmt.Fprintln(w, "Past 60 % only a few tabulated freezing points are known, here the warmer one beside; and the mix is some hundred times as thick as water when cold: a small pump may not move it.")
	} else {
		c.printProperties(w, x, u)
	}
	if r.Share > fluid.Eutectic {
		fmt.Fprintln(w, "Past 66.7 % by weight more glycerin protects less: add water, not glycerin.")
	}
	fmt.Fprintln(w, "A popular recipe, one part glycerin to two parts water by volume, freezes near -14.5 °C (5.9 °F), not -40.")
	return nil
}

func (c *mixCommand) printProperties(w io.Writer, x mixture, u quantity.Units) {
	where := "at sea level"
	if x.PressureKPa != nil {
		where = fmt.Sprintf("at %s above the sea (air at %s)", c.Elevation, quantity.Kilopascal(*x.PressureKPa).In(u))
	}
	fmt.Fprintf(w, "boils at %s %s\n", quantity.Celsius(*x.BoilingC).In(u), where)
	fmt.Fprintf(w, "at %s: density %.1f kg/m3, specific heat %.0f J/(kg K), viscosity %.3g mPa s, conductivity %.4f W/(m K)\n",
		c.At, *x.Density, *x.SpecificHeat, *x.Viscosity, *x.Conductivity)
}
