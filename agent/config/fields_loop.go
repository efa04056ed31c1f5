package config

import (
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// perLoop is the table of the keys of one loop.
func perLoop() []field {
	table := append(plantFields(), nameplateFields()...)
	table = append(table, outputFields()...)
	table = append(table, limitFields()...)
	table = append(table, batteryFields()...)
	table = append(table, cableFields()...)
	table = append(table, probeFields()...)
	table = append(table, calibrationFields()...)
	return append(table, modelFields()...)
}

// plantFields describe what the grower built.
func plantFields() []field {
	return []field{
		{key: "tank.volume", about: "Liquid in the tank, cold.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.Litre { return &l.Tank.Volume }, 0.5, 2000)},
		{key: "tank.glycerin", about: "Food-grade glycerin in the mix, by weight. Never ethylene glycol: it is poisonous.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Tank.Glycerin }, 0, 0.6)},
		{key: "tank.loss", about: "Standing loss of the tank to the air around it.", initial: "0.6 W/K",
			at: between(func(_ *File, l *Loop) *quantity.WattPerKelvin { return &l.Tank.Loss }, 0.01, 50)},
		{key: "tank.closed", about: "true for a closed vessel. It then needs a relief valve and room to expand.", initial: "false",
			at: flag(func(_ *File, l *Loop) *Flag { return &l.Tank.Closed })},
		{key: "tank.relief_valve", about: "true if a pressure relief valve is fitted.", initial: "false",
			at: flag(func(_ *File, l *Loop) *Flag { return &l.Tank.Relief })},
		{key: "tank.vessel", about: "Inside volume of a closed vessel, liquid and air together. 0 = not told; it then counts as full.", initial: "0 L",
			at: between(func(_ *File, l *Loop) *quantity.Litre { return &l.Tank.Vessel }, 0, 5000)},

		{key: "element.panel", about: "Panel wired straight to the element.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.Watt { return &l.Element.Panel }, 5, 5000)},
		{key: "element.resistance", about: "Of the element, cold.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.Ohm { return &l.Element.Resistance }, 0.05, 1000)},
		{key: "element.tilt", about: "Panel from the horizontal.", initial: "60 deg",
			at: between(func(_ *File, l *Loop) *quantity.Angle { return &l.Element.Tilt }, 0, 90)},
		{key: "element.facing", about: "Where the panel looks, clockwise from north.", initial: "180 deg",
			at: between(func(_ *File, l *Loop) *quantity.Angle { return &l.Element.Facing }, 0, 360)},
		{key: "element.cable", about: "Cable from panel to element, both ways.", initial: "0.05 ohm",
			at: between(func(_ *File, l *Loop) *quantity.Ohm { return &l.Element.Cable }, 0, 20)},
		{key: "element.cut_out", about: "Where the independent thermal cut-out opens. It must need no software.", initial: "88 °C",
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Element.CutOut }, 40, 99)},

		{key: "coil.conductance", about: "Heat per kelvin from liquid to air with pump and fans on, at their duty. A two-fan core moves about 20 W/K.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.WattPerKelvin { return &l.Coil.Conductance }, 0.5, 500)},
		{key: "coil.flow", about: "Flow of the pump.", initial: "1.5 L/min",
			at: between(func(_ *File, l *Loop) *quantity.LitrePerMinute { return &l.Coil.Flow }, 0.05, 100)},
		{key: "coil.volume", about: "Liquid in coil and pipes. 0 L only for a lumped plant in the simulation: the coil then takes its heat straight from the tank.", initial: "0.6 L",
			at: between(func(_ *File, l *Loop) *quantity.Litre { return &l.Coil.Volume }, 0, 50)},

		{key: "tunnel.volume", about: "Air in the tunnel, for the simulation.", initial: "1500 L",
			at: between(func(_ *File, l *Loop) *quantity.Litre { return &l.Tunnel.Volume }, 20, 100000)},
		{key: "tunnel.cover_loss", about: "Tunnel air to greenhouse air, leaks included. 0 W/K: by the three keys below.", initial: "0 W/K",
			at: between(func(_ *File, l *Loop) *quantity.WattPerKelvin { return &l.Tunnel.Cover }, 0, 1000)},
		{key: "tunnel.cover_area", about: "Area of its cover, floor left out.", initial: "3 m2",
			at: between(func(_ *File, l *Loop) *quantity.SquareMetre { return &l.Tunnel.Area }, 0.2, 10000)},
		{key: "tunnel.layers", about: "Layers of glass or film.", initial: "1",
			at: number(func(_ *File, l *Loop) *Count { return &l.Tunnel.Layers }, 1, 2)},
		{key: "tunnel.air_changes", about: "Air changes an hour. Small tunnels with flaps: 1 to 3.", initial: "1",
			at: number(func(_ *File, l *Loop) *Ratio { return &l.Tunnel.Changes }, 0, 20)},
		{key: "tunnel.bed", about: "Heat capacity of the bed that follows the air within a day.", initial: "330 kJ/K",
			at: between(func(_ *File, l *Loop) *quantity.JoulePerKelvin { return &l.Tunnel.Bed }, 1e3, 1e9)},
		{key: "house.floor", about: "Floor of the greenhouse, for the simulation.", initial: "7 m2",
			at: between(func(_ *File, l *Loop) *quantity.SquareMetre { return &l.House.Floor }, 1, 1000)},
		{key: "house.cover_loss", about: "Greenhouse air to outdoors, leaks included. 0 W/K: by the three keys below.", initial: "0 W/K",
			at: between(func(_ *File, l *Loop) *quantity.WattPerKelvin { return &l.House.Cover }, 0, 10000)},
		{key: "house.cover_area", about: "Area of its cover, floor left out.", initial: "16 m2",
			at: between(func(_ *File, l *Loop) *quantity.SquareMetre { return &l.House.Area }, 0.2, 10000)},
		{key: "house.layers", about: "Layers of glass or film.", initial: "1",
			at: number(func(_ *File, l *Loop) *Count { return &l.House.Layers }, 1, 2)},
		{key: "house.air_changes", about: "Air changes an hour. Sound glasshouses: about 1.", initial: "1",
			at: number(func(_ *File, l *Loop) *Ratio { return &l.House.Changes }, 0, 20)},
	}
}

// outputFields are the lines that switch things.
func outputFields() []field {
	table := []field{
		{key: "pump.draw", about: "Electric power of the pump at 12 V, at its duty.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.Watt { return &l.Pump.Draw }, 0.2, 500)},
		{key: "fans.draw", about: "Electric power of all fans together, at their duty.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.Watt { return &l.Fans.Draw }, 0.2, 500)},
	}
	table = append(table, driveFields("pump", "switches the pump", func(l *Loop) *Drive { return &l.Pump })...)
	table = append(table, driveFields("fans", "switches the fans", func(l *Loop) *Drive { return &l.Fans })...)
	table = append(table, lineFields("contactor", "closes the element's DC-rated contactor; leave out if there is none", false, func(l *Loop) *Line { return &l.Contactor })...)
	table = append(table, lineFields("buzzer", "sounds the buzzer; leave out if there is none", false, func(l *Loop) *Line { return &l.Buzzer })...)
	table = append(table, lineFields("charger", "holds the battery's charger off while it is active; leave out if there is none", false, func(l *Loop) *Line { return &l.Charger })...)
	level := lineFields("level", "reads the tank's level switch; leave out if there is none", false, func(l *Loop) *Line { return &l.Level })
	return append(table, level[:2]...) // no active_low: see the section's introduction
}

// driveFields are a motor's line and duty.
func driveFields(section, does string, at func(*Loop) *Drive) []field {
	table := lineFields(section, does+"; leave out if only pwm does", false, func(l *Loop) *Line { return &at(l).Line })
	return append(table,
		field{key: section + ".pwm", about: "What sets its duty: none, kernel (daemon.pwm_root) or pca9685 (daemon.pwm_bus).", initial: "none",
			at: words("none, kernel or pca9685", func(_ *File, l *Loop) *Dim { return &at(l).Dim })},
		field{key: section + ".pwm_chip", about: "Number of the kernel's PWM chip.", initial: "0",
			at: number(func(_ *File, l *Loop) *Count { return &at(l).DimChip }, 0, 63)},
		field{key: section + ".pwm_channel", about: "Channel of the kernel's chip, or output of the PCA9685.", initial: "0",
			at: number(func(_ *File, l *Loop) *Count { return &at(l).Channel }, 0, 15)},
		field{key: section + ".duty", about: "How much of the time it is on while it runs; below 100 % needs pwm. Less speed moves more heat for each watt-hour, down to where it stalls: try yours.", initial: "100 %", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Share { return &at(l).Duty }, 0.05, 1)},
	)
}

func lineFields(section, does string, required bool, at func(*Loop) *Line) []field {
	return []field{
		{key: section + ".chip", about: "Label of the GPIO chip whose line " + does + ".", required: required,
			at: words("a chip label", func(_ *File, l *Loop) *Text { return &at(l).Chip })},
		{key: section + ".line", about: "Number of the line on that chip.", initial: "0",
			at: number(func(_ *File, l *Loop) *Count { return &at(l).Number }, 0, 511)},
		{key: section + ".active_low", about: "true if the line is low when active.", initial: "false",
			at: flag(func(_ *File, l *Loop) *Flag { return &at(l).Low })},
	}
}

// probeFields name the probe at each place.
func probeFields() []field {
	about := [control.Places]string{
		control.Tank:       "In the tank's own sleeve, not on a pipe.",
		control.Coil:       "Strapped to the coil's inlet.",
		control.Return:     "On the pipe back to the tank.",
		control.Tunnel:     "Among the seedlings, shaded.",
		control.Bed:        "In the soil of the bed.",
		control.Greenhouse: "In the greenhouse air, shaded.",
		control.Outdoors:   "Outdoors, in the shade, facing away from the sun.",
	}
	var table []field
	for p := range control.Places {
		table = append(table, field{
			key: "probes." + p.String(), about: about[p], required: p == control.Tank || p == control.Tunnel,
			at: words("the name of a 1-Wire device, as 28-0000072fa1c3", func(_ *File, l *Loop) *Text { return &l.Probes[p].ID }),
		})
	}
	return table
}
