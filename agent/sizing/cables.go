package sizing

import (
	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/cable"
	"duskloop/sim/pv"
)

// Cable is one run of cable.
type Cable struct {
	Way     string   `json:"way"`
	Length  float64  `json:"length_m"`
	Section float64  `json:"section_mm2"`
	Load    float64  `json:"load_a"` // the most that flows for hours
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
	all = run(all, "from the panel to the element", c.Element, shorted(m), quantity.Volt(h.Now.MaxV))
	all = run(all, "from the battery to pump and fans", c.Load, (l.Pump.Draw + l.Fans.Draw).Over(nominal), nominal)
	return run(all, "from the battery's panel to the battery", c.Charge, shorted(own), nominal), nil
}

// run adds a cable whose length is told.
func run(all []Cable, way string, p cable.Pair, load quantity.Ampere, from quantity.Volt) []Cable {
	if p.Length == 0 || from <= 0 {
		return all
	}
	c := Cable{
		Way: way, Length: float64(p.Length), Section: float64(p.Section), Load: float64(load), Drop: float64(p.Drop(load)),
		Ohm: float64(p.Resistance()), Carries: float64(p.Carries), Better: float64(cable.Section(p.Length, load, little*from)),
	}
	c.DropPct = 100 * c.Drop / float64(from)
	fuse, fits := p.Fuse(load)
	if c.Fits = fits; fuse > 0 {
		f := float64(fuse)
		c.Fuse = &f
	}
	return append(all, c)
}

// told says that a file tells any cable.
func told(l *config.Loop) bool {
	return l.Cables.Element.Length+l.Cables.Load.Length+l.Cables.Charge.Length > 0
}
