package fitted

import (
	"math"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// found is a figure that the record told, or its best guess beside those that it told: with the
// file's value in the guess's place the others would be wrong. A fit that told nothing found
// nothing.
func (g *Greenhouse) found(name string) (float64, bool) {
	believed, x, ok := false, 0.0, false
	for _, f := range g.Figures {
		believed = believed || f.Told
		if f.Name == name {
			x, ok = f.Value, f.Told || f.Value != f.File
		}
	}
	return x, ok && believed
}

// Plant is a plant with what was found put in place of its own. A coil that is described by its
// fins gets the fins that make the coil as it was found, an element the panel that feeds it so.
// What an open tank loses by evaporation is in the loss that was found. An element that no
// panel could feed so stays as the file has it, and so does a figure that the file has otherwise
// than when it was fitted: the grower has changed it since.
func (g *Greenhouse) Plant(p plant.Params, at Duties) plant.Params {
	if g == nil {
		return p
	}
	g = g.standing(p, at)
	t := &p.Tunnel
	set := func(name string, into *quantity.WattPerKelvin) {
		if x, ok := g.found(name); ok {
			*into = quantity.WattPerKelvin(x)
		}
	}
	set("tank loss", &p.Tank.Loss)
	if _, ok := g.found("tank loss"); ok {
		p.Tank.OpenSurface = 0
	}
	set("tunnel cover", &t.Cover)
	set("bed to air", &t.BedToAir)
	set("bed to soil", &t.BedToSoil)
	if x, ok := g.found("tunnel air heat"); ok {
		t.Air = quantity.JoulePerKelvin(x)
	}
	if x, ok := g.found("bed heat"); ok {
		t.Bed = quantity.JoulePerKelvin(x)
	}
	g.sun(t)
	g.supply(&p)
	if x, ok := g.found("coil"); ok {
		withCoil(&p, quantity.WattPerKelvin(x))
	}
	if x, ok := g.found("element"); ok {
		if e, err := p.Element.Scaled(quantity.Watt(x)); err == nil {
			p.Element = e
		}
	}
	return p
}

// supply puts what was drawn and the charging's efficiency in place. The battery's capacity
// stays as it is printed: by its voltage it is told too roughly, and too small.
func (g *Greenhouse) supply(p *plant.Params) {
	if x, ok := g.found("pump and fans"); ok {
		if both := float64(p.Loop.Pump + p.Fans.Power); both > 0 {
			p.Loop.Pump *= quantity.Watt(x / both)
			p.Fans.Power *= quantity.Watt(x / both)
		}
	}
	if x, ok := g.found("always on"); ok {
		p.Supply.BaseLoad = quantity.Watt(x)
	}
	if x, ok := g.found("charging"); ok {
		p.Supply.Battery.Efficiency = quantity.Share(min(x, 1))
	}
}

// sun puts the gains of air and bed in place; the figures are W under 1000 W/m².
func (g *Greenhouse) sun(t *plant.Tunnel) {
	gain := 1000 * float64(t.Sun)
	air, bed := gain*(1-float64(t.SunToBed)), gain*float64(t.SunToBed)
	if x, ok := g.found("sun on air"); ok {
		air = x
	}
	if x, ok := g.found("sun on bed"); ok {
		bed = x
	}
	if air+bed > 0 {
		t.Sun, t.SunToBed = quantity.SquareMetre((air+bed)/1000), quantity.Share(bed/(air+bed))
	}
}

// warm is the tank beside which a coil is stated, as in package plant.
const warm quantity.Celsius = 45

// withCoil makes a plant's coil pass on so much at full duty.
func withCoil(p *plant.Params, want quantity.WattPerKelvin) {
	if p.Coil.Lumped > 0 {
		p.Coil.Lumped = want
		return
	}
	first := p.Coil.Fins
	for range tries {
		g, err := p.CoilAt(warm)
		if err != nil || math.Abs(float64(g/want)-1) < near {
			return
		}
		// a coil grows about with the fins' power of two thirds
		p.Coil.Fins *= quantity.WattPerKelvin(math.Pow(float64(want/g), 1.5))
		p.Coil.Fins = min(max(p.Coil.Fins, first/20), first*20)
	}
}

// How near the coil is brought to what was found, and in how many tries at most.
const (
	near  = 1e-3
	tries = 20
)
