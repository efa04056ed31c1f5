package sizing

import (
	"duskloop/sensors/quantity"
	"duskloop/sim/cable"
	"duskloop/sim/match"
	"duskloop/sim/pv"
)

// Cable is one run of cable.
type Cable struct {
	Way     string   `json:"way"`
	Length  float64  `json:"length_m"`
	Section float64  `json:"section_mm2"`
	Most    float64  `json:"most_a"` // that flows
	Load    float64  `json:"load_a"` // that a fuse must carry for hours
	Volts   float64  `json:"begins_with_v"`
	Breaks  float64  `json:"fuse_breaks_v"` // that its fuse must be rated for
	Drop    float64  `json:"drop_v"`
	DropPct float64  `json:"drop_pct"` // of what it begins with
	Ohm     float64  `json:"resistance_ohm"`
	Carries float64  `json:"carries_a"` // by the grower; 0: not told
	Fuse    *float64 `json:"fuse_a"`    // null where none fits
	Fits    bool     `json:"fuse_fits"` // between the load and what the cable carries
	// Better is the cross-section that would lose 3 %.
	Better float64 `json:"section_for_3_pct_mm2"`
}

// sunny is what a panel's current may exceed its label's for hours, by bright light
// (National Electrical Code, article 690.8; from memory, unverified). A fuse of panels
// then lies at 1.25 times that.
const sunny = 1.25

// little is the loss that is commonly allowed (common practice, no source).
const little = 0.03

// cables of the file that are told by their length.
func (s *Sketch) cables(h Heater) (all []Cable, err error) {
	l := s.File.Loop()
	m, err := s.house.Plant.Element.Panel.Module()
	if err != nil {
		return nil, err
	}
	own, err := pv.Generic(l.Battery.Panel)
	if err != nil {
		return nil, err
	}
	shorted := func(m pv.Module) quantity.Ampere { return sunny * m.At(1000, 25).ShortCircuit().Amps }
	c := l.Cables
	most := quantity.Ampere(h.Now.MaxV / float64(l.Element.Resistance))
	all = run(all, "from the panel to the element", c.Element, most, shorted(m), most.Across(l.Element.Resistance+l.Element.Cable), quantity.Volt(h.OpenV))
	loads := (l.Pump.Draw + l.Fans.Draw).Over(nominal)
	all = run(all, "from the battery to pump and fans", c.Load, loads, loads, nominal, chargedV)
	full := own.At(1000, 25).MaxPower().Amps
	return run(all, "from the battery's panel to the battery", c.Charge, full, shorted(own), nominal, own.At(1000, match.Frosty).OpenCircuit().Volts), nil
}

// chargedV is the highest voltage of a 12 V battery on charge (common practice, no source).
const chargedV = 15

// run adds a cable whose length is told.
func run(all []Cable, way string, p cable.Pair, most, load quantity.Ampere, from, breaks quantity.Volt) []Cable {
	if p.Length == 0 || from <= 0 {
		return all
	}
	c := Cable{
		Way: way, Length: float64(p.Length), Section: float64(p.Section), Most: float64(most), Load: float64(load),
		Volts: float64(from), Breaks: float64(breaks), Drop: float64(p.Drop(most)),
		Ohm: float64(p.Resistance()), Carries: float64(p.Carries), Better: float64(cable.Section(p.Length, most, little*from)),
	}
	c.DropPct = 100 * c.Drop / float64(from)
	fuse, fits := p.Fuse(load)
	if c.Fits = fits; fuse > 0 {
		f := float64(fuse)
		c.Fuse = &f
	}
	return append(all, c)
}
