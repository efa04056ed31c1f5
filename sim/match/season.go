package match

import (
	"math"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
)

// Light is what falls on the panels for a while, and what cools them.
type Light struct {
	Plane quantity.WattPerSquareMetre // in the plane of the panels
	Air   quantity.Celsius
	Wind  float64 // m/s
	Hours float64 // how long
	Day   int     // its number
	Line  int     // of the file it is from; 0: none
}

// Season is the life of panels, wired as one, in the light of some days.
type Season struct {
	Best float64 // kWh at maximum power throughout
	Days float64 // how long it lasts; dark hours count

	module pv.Module
	lit    []lit
}

// lit is a time with light on the panels.
type lit struct {
	Light
	curve pv.Curve
	best  float64 // kWh
}

// New is a season of panels without light yet.
func New(m pv.Module) *Season { return &Season{module: m} }

// Add takes a time in; its cells are as warm as Faiman says (pv.CellTemperature).
func (x *Season) Add(l Light) {
	x.Days += l.Hours / 24
	if l.Plane <= 0 {
		return
	}
	curve := x.module.At(l.Plane, pv.CellTemperature(l.Air, l.Plane, l.Wind))
	best := float64(curve.MaxPower().Power()) * l.Hours / 1000
	x.Best += best
	x.lit = append(x.lit, lit{l, curve, best})
}

// Dimmed is the same season with a share of the light.
func (x *Season) Dimmed(share float64) *Season {
	y := New(x.module)
	for _, l := range x.lit {
		l.Plane *= quantity.WattPerSquareMetre(share)
		y.Add(l.Light)
	}
	y.Days = x.Days
	return y
}

// onElement is what an element takes through a cable.
func (l *lit) onElement(r, cable quantity.Ohm) (amps, watts float64) {
	amps = float64(l.curve.OnResistor(r + cable).Amps)
	return amps, amps * amps * float64(r)
}

// Row is what one element takes in a season.
type Row struct {
	Resistance float64 `json:"resistance_ohm"`
	Energy     float64 `json:"energy_kwh"`
	MatchPct   float64 `json:"match_pct"` // of the panels' best
	MaxW       float64 `json:"max_w"`
	MaxV       float64 `json:"max_v"` // across the element
}

// On is what an element takes through a cable.
func (x *Season) On(r, cable quantity.Ohm) Row {
	row := Row{Resistance: float64(r)}
	for i := range x.lit {
		l := &x.lit[i]
		amps, watts := l.onElement(r, cable)
		row.Energy += watts * l.Hours / 1000
		if watts > row.MaxW {
			row.MaxW, row.MaxV = watts, amps*float64(r)
		}
	}
	if x.Best > 0 {
		row.MatchPct = 100 * row.Energy / x.Best
	}
	return row
}

// Daily is what an element takes on each of so many days from Day 0 on, Wh.
func (x *Season) Daily(r, cable quantity.Ohm, days int) []float64 {
	all := make([]float64, days)
	for i := range x.lit {
		l := &x.lit[i]
		if l.Day >= 0 && l.Day < days {
			_, watts := l.onElement(r, cable)
			all[l.Day] += watts * l.Hours
		}
	}
	return all
}

// bright is the light that an element must stand for minutes: a quarter more than full
// sun, beside clouds (the factor of the National Electrical Code, article 690.8; from
// memory, unverified), on cold cells.
const (
	bright     = 1250 // W/m²
	brightCell = quantity.Celsius(0)
)

// Stands is what an element must stand: the watts in such light, or the most of the
// season if that is more, and the volts then.
func (x *Season) Stands(r, cable quantity.Ohm) (watts, volts float64) {
	amps := float64(x.module.At(bright, brightCell).OnResistor(r + cable).Amps)
	watts = max(amps*amps*float64(r), x.On(r, cable).MaxW)
	return watts, math.Sqrt(watts * float64(r))
}

// Most are the watts of the panels' best point where it gives most, with the light in
// their plane and the line that it is from.
func (x *Season) Most() (watts float64, plane quantity.WattPerSquareMetre, line int) {
	for i := range x.lit {
		l := &x.lit[i]
		if w := 1000 * l.best / l.Hours; w > watts {
			watts, plane, line = w, l.Plane, l.Line
		}
	}
	return watts, plane, line
}

// Above are the shares of an element's energy, and of the panels' best, that come while
// at least so much falls on the panels.
func (x *Season) Above(bright quantity.WattPerSquareMetre, r, cable quantity.Ohm) (heat, best float64) {
	var all, most float64
	for i := range x.lit {
		l := &x.lit[i]
		_, watts := l.onElement(r, cable)
		e := watts * l.Hours / 1000
		all += e
		most += l.best
		if l.Plane >= bright {
			heat += e
			best += l.best
		}
	}
	if all <= 0 || most <= 0 {
		return 0, 0
	}
	return heat / all, best / most
}

// Knee is Vmp/Imp at 1000 W/m² and 25 °C, ohm: the resistance that would take all then.
func (x *Season) Knee() float64 {
	at := x.module.At(1000, 25).MaxPower()
	return float64(at.Volts) / float64(at.Amps)
}

// BestElement is the resistance that takes most, to half a per cent, by golden section
// on its logarithm between a twentieth and twenty times the knee: the energy rises to
// its highest and falls again.
func (x *Season) BestElement(cable quantity.Ohm) Row {
	const golden = 0.6180339887498949
	of := func(logR float64) Row { return x.On(quantity.Ohm(math.Exp(logR)), cable) }
	low, high := math.Log(x.Knee()/20), math.Log(x.Knee()*20)
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
