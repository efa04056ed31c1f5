package main

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// litSeason is the life of a panel, or of several wired together, over the wanted part
// of a weather file.
type litSeason struct {
	module pv.Module
	lit    []lit
	days   float64
	best   float64 // kWh at maximum power throughout
	cover  cover
	step   time.Duration    // over which the file's figures are means
	cold   quantity.Celsius // for the voltage without load
	doubts []string         // why the file should not be trusted
}

// lit is an interval with light on the panel.
type lit struct {
	plane quantity.WattPerSquareMetre
	air   quantity.Celsius
	wind  float64 // m/s
	hours float64
	curve pv.Curve
	best  float64 // kWh
	line  int     // of the file
}

// overSeason goes through the file's intervals: the sun at the middle of each, the
// file's own irradiance where it has it, Hay & Davies, no losses.
func overSeason(f *weather.File, site sun.Site, plane sun.Plane, wanted func(time.Month) bool, m pv.Module) *litSeason {
	x := &litSeason{module: m}
	for _, i := range f.Intervals {
		mid := i.Middle()
		if !wanted(mid.Month()) {
			continue
		}
		hours := i.End.Sub(i.Start).Hours()
		x.days += hours / 24
		if i.GHI > 0 {
			sky := i.Complete(site)
			g := site.OnPlane(plane, mid, sun.Light{GHI: sky.GHI, DNI: sky.DNI, DHI: sky.DHI})
			x.add(lit{plane: g, air: sky.Air, wind: float64(sky.Wind), hours: hours, line: i.Line})
		}
	}
	return x
}

// add takes an interval in; its cells are as warm as Faiman says.
func (x *litSeason) add(l lit) {
	l.curve = x.module.At(l.plane, pv.CellTemperature(l.air, l.plane, l.wind))
	l.best = float64(l.curve.MaxPower().Power()) * l.hours / 1000
	x.best += l.best
	x.lit = append(x.lit, l)
}

// dimmed is the same season with a share of the light.
func (x *litSeason) dimmed(share quantity.WattPerSquareMetre) *litSeason {
	y := &litSeason{module: x.module, days: x.days}
	for _, l := range x.lit {
		l.plane *= share
		y.add(l)
	}
	return y
}

// onElement is what an element takes through a cable.
func (l *lit) onElement(r, cable quantity.Ohm) (amps, watts float64) {
	amps = float64(l.curve.OnResistor(r + cable).Amps)
	return amps, amps * amps * float64(r)
}

// row is what an element takes through a cable.
func (x *litSeason) row(r, cable quantity.Ohm) seasonRow {
	row := seasonRow{Resistance: float64(r)}
	for _, l := range x.lit {
		amps, watts := l.onElement(r, cable)
		row.Energy += watts * l.hours / 1000
		if watts > row.MaxW {
			row.MaxW, row.MaxV = watts, amps*float64(r)
		}
	}
	if x.best > 0 {
		row.MatchPct = 100 * row.Energy / x.best
	}
	return row
}

// knee is Vmp/Imp at 1000 W/m² and 25 °C: the resistance that would take all then.
func (x *litSeason) knee() float64 {
	at := x.module.At(1000, 25).MaxPower()
	return float64(at.Volts) / float64(at.Amps)
}

// bestElement is the resistance that takes most, to half a per cent, by golden section
// on its logarithm between a twentieth and twenty times the knee: the energy rises to
// its highest and falls again.
func (x *litSeason) bestElement(cable quantity.Ohm) seasonRow {
	const golden = 0.6180339887498949
	of := func(logR float64) seasonRow { return x.row(quantity.Ohm(math.Exp(logR)), cable) }
	low, high := math.Log(x.knee()/20), math.Log(x.knee()*20)
	a, b := of(high-golden*(high-low)), of(low+golden*(high-low))
	for high-low > 0.005 {
		if a.Energy > b.Energy {
			high, b = math.Log(b.Resistance), a
			a = of(high - golden*(high-low))
		} else {
			low, a = math.Log(a.Resistance), b
			b = of(low + golden*(high-low))
		}
	}
	if a.Energy > b.Energy {
		return a
	}
	return b
}

// rewired is what an element takes from the season's panels, wired another way or
// fewer of them. Alike panels share the current or the voltage alike, so each of them
// sees the element times the parallel strings over the panels in series; from turns
// that into the resistance that the array as it is would see.
func (x *litSeason) rewired(from, to wiring, r, cable quantity.Ohm) seasonRow {
	scale := quantity.Ohm(to.perPanel() / from.perPanel())
	row := x.row(r*scale, cable*scale)
	share := float64(to.panels()) / float64(from.panels())
	row.Resistance = float64(r)
	row.Energy *= share
	row.MaxW *= share
	row.MaxV = math.Sqrt(row.MaxW * float64(r))
	return row
}

// wiring is so many panels in series, so many strings in parallel.
type wiring struct{ series, parallel int }

func (w wiring) panels() int { return w.series * w.parallel }

func (w wiring) perPanel() float64 { return float64(w.parallel) / float64(w.series) }

// wirings are all ways of wiring so many panels alike.
func wirings(panels int) []wiring {
	var all []wiring
	for s := 1; s <= panels; s++ {
		if panels%s == 0 {
			all = append(all, wiring{s, panels / s})
		}
	}
	return all
}

// above are the shares of an element's energy, and of the panel's best, that come
// while at least so much falls on the panel.
func (x *litSeason) above(bright quantity.WattPerSquareMetre, r, cable quantity.Ohm) (heat, best float64) {
	var all, most float64
	for _, l := range x.lit {
		_, watts := l.onElement(r, cable)
		e := watts * l.hours / 1000
		all += e
		most += l.best
		if l.plane >= bright {
			heat += e
			best += l.best
		}
	}
	if all <= 0 || most <= 0 {
		return 0, 0
	}
	return heat / all, best / most
}
