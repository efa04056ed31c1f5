package config

import (
	"duskloop/sensors/quantity"
	"duskloop/sim/cable"
)

// cableFields are the runs of cable.
func cableFields() []field {
	table := pairFields("element", "from the panel to the element", func(l *Loop) *cable.Pair { return &l.Cables.Element })
	table = append(table, pairFields("load", "from the battery to pump and fans", func(l *Loop) *cable.Pair { return &l.Cables.Load })...)
	return append(table, pairFields("charge", "from the battery's panel to the battery", func(l *Loop) *cable.Pair { return &l.Cables.Charge })...)
}

func pairFields(name, way string, at func(*Loop) *cable.Pair) []field {
	return []field{
		{key: "cables." + name + "_length", about: "Length of the cable " + way + ", one way. 0 m: not told.", initial: "0 m",
			at: between(func(_ *File, l *Loop) *quantity.Metre { return &at(l).Length }, 0, 500)},
		{key: "cables." + name + "_section", about: "Cross-section of one of its copper wires, as 2.5 mm2 or 14 AWG.", initial: "2.5 mm2",
			at: between(func(_ *File, l *Loop) *quantity.SquareMillimetre { return &at(l).Section }, 0.05, 500)},
		{key: "cables." + name + "_carries", about: "Amperes that its maker and your local code let it carry. 0 A: not told.", initial: "0 A",
			at: between(func(_ *File, l *Loop) *quantity.Ampere { return &at(l).Carries }, 0, 1000)},
	}
}
