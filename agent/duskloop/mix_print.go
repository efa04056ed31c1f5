package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

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
func (m *mixing) look(r fluid.Recipe) (mixture, error) {
	freezing, err := fluid.FreezingPoint(r.Share)
	if err != nil {
		return mixture{}, err
	}
	x := mixture{MassFraction: float64(r.Share), FreezingC: float64(freezing)}
	if r.Total > 0 {
		x.VolumeL = known(r.Total)
	}
	if m.Protect != "" && r.Total > 0 {
		x.Recipe = &recipeVolumes{float64(r.Water), float64(r.Glycerin)}
	}
	if tooStrong(r.Share) {
		return x, nil
	}
	liquid, err := fluid.New(r.Share)
	if err != nil {
		return mixture{}, err
	}
	if m.at < freezing || m.at > fluid.MaxTemp {
		return mixture{}, misuse("--at: %s: figures are known for the liquid, from freezing at %s to %s", m.at.In(m.units), freezing.In(m.units), fluid.MaxTemp.In(m.units))
	}
	return x, errors.Join(x.properties(liquid, m.at), m.boiling(&x, liquid))
}

func known[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}

// properties are those at a temperature.
func (x *mixture) properties(m fluid.Mix, at quantity.Celsius) error {
	rho, err1 := m.Density(at)
	cp, err2 := m.SpecificHeat(at)
	mu, err3 := m.Viscosity(at)
	k, err4 := m.Conductivity(at)
	x.Density, x.SpecificHeat, x.Viscosity, x.Conductivity = known(rho), known(cp), known(mu), known(k)
	return errors.Join(err1, err2, err3, err4)
}

// boiling is that at sea level, or at a height if one is given.
func (m *mixing) boiling(x *mixture, liquid fluid.Mix) error {
	x.BoilingC = known(liquid.Boiling())
	if m.Elevation == "" {
		return nil
	}
	p, err := fluid.AirPressure(m.elevation)
	if err != nil {
		return misuse("--elevation: %s: the air is known for %s", m.height(m.elevation), m.heights(-500, 6000))
	}
	t, err := liquid.BoilingAt(p)
	x.BoilingC, x.PressureKPa = known(t), known(p)
	return err
}

// foot in m (international foot, exact).
const foot = 0.3048

func (m *mixing) height(h quantity.Metre) string {
	if m.units == quantity.US {
		return fmt.Sprintf("%.0f ft", float64(h)/foot)
	}
	return fmt.Sprintf("%.0f m", float64(h))
}

func (m *mixing) heights(low, high quantity.Metre) string {
	first, _, _ := strings.Cut(m.height(low), " ")
	return first + " to " + m.height(high)
}

func (m *mixing) printText(w io.Writer, r fluid.Recipe, x mixture) {
	u := m.units
	if r.Total > 0 {
		fmt.Fprintf(w, "%s water + %s glycerin (at %s) make about %s\n", r.Water.In(u), r.Glycerin.In(u), quantity.Celsius(20).In(u), r.Total.In(u))
	}
	fmt.Fprintf(w, "%v glycerin by weight; freezes at %s\n", r.Share, quantity.Celsius(x.FreezingC).In(u))
	m.printMargin(w)
	if tooStrong(r.Share) {
		fmt.Fprintln(w, "Past 60 % only a few tabulated freezing points are known, here the warmer one beside; and the mix is some hundred times as thick as water when cold: a small pump may not move it.")
	} else {
		m.printProperties(w, x)
	}
	if r.Share > fluid.Eutectic {
		fmt.Fprintln(w, "Past 66.7 % by weight more glycerin protects less: add water, not glycerin.")
	}
	popular := "-14.5 °C (5.9 °F)"
	if u == quantity.US {
		popular = "5.9 °F (-14.5 °C)"
	}
	fmt.Fprintf(w, "A popular recipe, one part glycerin to two parts water by volume, freezes near %s, not -40.\n", popular)
}

// printMargin says what a mix for some degrees lower needs: nights differ, and so do
// glycerins and measuring cups. How many is our choice.
func (m *mixing) printMargin(w io.Writer) {
	if m.Protect == "" {
		return
	}
	margin := quantity.Kelvin(3)
	if m.units == quantity.US {
		margin = 5. / 1.8
	}
	share, err := fluid.Protecting(m.protect.Plus(-margin))
	if err != nil {
		fmt.Fprintf(w, "That leaves no margin, and no mix is offered for %s lower.\n", margin.In(m.units))
		return
	}
	more := ""
	if r, err := fluid.ForShare(share, m.total); err == nil {
		more = fmt.Sprintf(": %s water + %s glycerin", r.Water.In(m.units), r.Glycerin.In(m.units))
	}
	fmt.Fprintf(w, "That leaves no margin: a mix for %s lower needs %v glycerin by weight%s.\n", margin.In(m.units), share, more)
}

// Units of the US trade: pound and gallon exact (NIST SP 811), and of the International
// Table Btu, 1 Btu/(lb °F) exactly 4186.8 J/(kg K), 1 Btu/(h ft °F) 1.730735 W/(m K).
const (
	poundPerGallon = 0.45359237 / 0.003785411784
	btuPerPound    = 4186.8
	btuPerFoot     = 1.730735
)

func (m *mixing) printProperties(w io.Writer, x mixture) {
	where := "at sea level"
	if x.PressureKPa != nil {
		where = fmt.Sprintf("at %s above the sea (air at %s)", m.height(m.elevation), quantity.Kilopascal(*x.PressureKPa).In(m.units))
	}
	fmt.Fprintf(w, "boils at %s %s\n", quantity.Celsius(*x.BoilingC).In(m.units), where)
	if m.units == quantity.US {
		fmt.Fprintf(w, "at %s: density %.3f lb/gal, specific heat %.4f Btu/(lb °F), viscosity %.3g cP, conductivity %.4f Btu/(h ft °F)\n",
			m.at.In(m.units), *x.Density/poundPerGallon, *x.SpecificHeat/btuPerPound, *x.Viscosity, *x.Conductivity/btuPerFoot)
	} else {
		fmt.Fprintf(w, "at %s: density %.1f kg/m3, specific heat %.0f J/(kg K), viscosity %.3g mPa s, conductivity %.4f W/(m K)\n",
			m.at, *x.Density, *x.SpecificHeat, *x.Viscosity, *x.Conductivity)
	}
	if float64(m.at) > *x.BoilingC {
		fmt.Fprintf(w, "At %s an open tank has boiled there; the figures hold for liquid under pressure.\n", m.at.In(m.units))
	}
}
