package config

import "duskloop/sensors/quantity"

// nameplateFields are the label of the element's panels.
func nameplateFields() []field {
	volts := func(at func(*Loop) *quantity.Volt) func(*File, *Loop) slot {
		return between(func(_ *File, l *Loop) *quantity.Volt { return at(l) }, 0, 1000)
	}
	amps := func(at func(*Loop) *quantity.Ampere) func(*File, *Loop) slot {
		return between(func(_ *File, l *Loop) *quantity.Ampere { return at(l) }, 0, 100)
	}
	count := func(at func(*Loop) *Count, low, high Count) func(*File, *Loop) slot {
		return number(func(_ *File, l *Loop) *Count { return at(l) }, low, high)
	}
	return []field{
		{key: "element.voc", about: "From the panel's label: open-circuit voltage. 0 V throughout means a usual 12 V panel of the power above.", initial: "0 V",
			at: volts(func(l *Loop) *quantity.Volt { return &l.Label.Voc })},
		{key: "element.isc", about: "Short-circuit current.", initial: "0 A",
			at: amps(func(l *Loop) *quantity.Ampere { return &l.Label.Isc })},
		{key: "element.vmp", about: "Voltage at maximum power.", initial: "0 V",
			at: volts(func(l *Loop) *quantity.Volt { return &l.Label.Vmp })},
		{key: "element.imp", about: "Current at maximum power.", initial: "0 A",
			at: amps(func(l *Loop) *quantity.Ampere { return &l.Label.Imp })},
		{key: "element.cells", about: "Cells in series.", initial: "0",
			at: count(func(l *Loop) *Count { return &l.Label.Cells }, 0, 300)},
		{key: "element.alpha", about: "Temperature coefficient of the short-circuit current.", initial: "0.05 %/K",
			at: between(func(_ *File, l *Loop) *quantity.PerKelvin { return &l.Label.Alpha }, -0.001, 0.002)},
		{key: "element.beta", about: "Temperature coefficient of the open-circuit voltage.", initial: "-0.31 %/K",
			at: between(func(_ *File, l *Loop) *quantity.PerKelvin { return &l.Label.Beta }, -0.006, -0.001)},
		{key: "element.in_series", about: "Panels of this label one after the other.", initial: "1",
			at: count(func(l *Loop) *Count { return &l.Label.Series }, 1, 20)},
		{key: "element.in_parallel", about: "Such strings side by side.", initial: "1",
			at: count(func(l *Loop) *Count { return &l.Label.Parallel }, 1, 20)},
	}
}

// modelFields are what only the simulation asks.
func modelFields() []field { return append(modelLoopFields(), modelHouseFields()...) }

// modelKelvins makes the place of a model's temperature difference.
func modelKelvins(at func(*Model) *quantity.Kelvin, low, high quantity.Kelvin) func(*File, *Loop) slot {
	return between(func(_ *File, l *Loop) *quantity.Kelvin { return at(&l.Model) }, low, high)
}

func modelLoopFields() []field {
	length := func(at func(*Model) *quantity.Metre, high quantity.Metre) func(*File, *Loop) slot {
		return between(func(_ *File, l *Loop) *quantity.Metre { return at(&l.Model) }, 0, high)
	}
	return []field{
		{key: "model.fitted", about: "The file that duskloop fit wrote from your own record, beside this one; what it tells stands in place of this file's figures in the plan, the preview and the simulation. Empty: none.", initial: "",
			at: words("a file", func(_ *File, l *Loop) *Text { return &l.Model.Fitted })},
		{key: "model.tank_heat", about: "Heat the tank takes for one degree, if you measured it. 0 kJ/K: by volume and mix.", initial: "0 kJ/K",
			at: between(func(_ *File, l *Loop) *quantity.JoulePerKelvin { return &l.Model.TankHeat }, 0, 1e8)},
		{key: "model.open_surface", about: "Liquid open to the air, from which water evaporates. 0 m2: covered.", initial: "0 m2",
			at: between(func(_ *File, l *Loop) *quantity.SquareMetre { return &l.Model.OpenSurface }, 0, 10)},
		{key: "model.taper_from", about: "Tank temperature from which the element takes less and less.", initial: "88 °C",
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Model.TaperFrom }, 20, 99)},
		{key: "model.taper_band", about: "So much higher it takes nothing. 0 K: it does not taper off, as no plain element does; a lumped plant for comparing may.", initial: "0 K",
			at: modelKelvins(func(m *Model) *quantity.Kelvin { return &m.TaperBand }, 0, 40)},
		{key: "model.pump_head", about: "The pump's head at no flow; the thick cold mix then flows slower. 0 m: the flow stays.", initial: "0 m",
			at: length(func(m *Model) *quantity.Metre { return &m.PumpHead }, 50)},
		{key: "model.pipe_bore", about: "Inside of the pipe.", initial: "10 mm",
			at: length(func(m *Model) *quantity.Metre { return &m.PipeBore }, 0.1)},
		{key: "model.pipe_length", about: "All of it, both ways, coil included.", initial: "6 m",
			at: length(func(m *Model) *quantity.Metre { return &m.PipeLength }, 500)},
		{key: "model.coil_fins", about: "Heat per kelvin from the coil's tube to the air at full fans; the coil then follows flow, fans and mix. 0 W/K: coil.conductance.", initial: "0 W/K",
			at: between(func(_ *File, l *Loop) *quantity.WattPerKelvin { return &l.Model.CoilFins }, 0, 5000)},
		{key: "model.coil_air", about: "Air through the coil at full fans.", initial: "110 m3/h",
			at: between(func(_ *File, l *Loop) *quantity.CubicMetreSecond { return &l.Model.CoilAir }, 0.001, 5)},
		{key: "model.coil_bore", about: "Inside of the coil's tube. 0 mm: the liquid's film is part of coil_fins.", initial: "0 mm",
			at: length(func(m *Model) *quantity.Metre { return &m.CoilBore }, 0.05)},
		{key: "model.coil_length", about: "Length of one tube through the coil.", initial: "8 m",
			at: length(func(m *Model) *quantity.Metre { return &m.CoilLength }, 200)},
		{key: "model.coil_circuits", about: "Tubes side by side.", initial: "1",
			at: number(func(_ *File, l *Loop) *Count { return &l.Model.CoilCircuits }, 1, 100)},
		{key: "model.fans_in_tunnel", about: "Share of the fans' power that warms the tunnel: 100 % if they stand in it.", initial: "100 %",
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Model.FansInTunnel }, 0, 1)},
		{key: "model.pump_heat", about: "Share of the pump's power that warms the liquid.", initial: "50 %",
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Model.PumpHeat }, 0, 1)},
	}
}

func modelHouseFields() []field {
	conductance := func(at func(*Model) *quantity.WattPerKelvin) func(*File, *Loop) slot {
		return between(func(_ *File, l *Loop) *quantity.WattPerKelvin { return at(&l.Model) }, 0, 1e5)
	}
	capacity := func(at func(*Model) *quantity.JoulePerKelvin) func(*File, *Loop) slot {
		return between(func(_ *File, l *Loop) *quantity.JoulePerKelvin { return at(&l.Model) }, 0, 1e9)
	}
	degrees := func(at func(*Model) *quantity.Celsius, low, high quantity.Celsius) func(*File, *Loop) slot {
		return between(func(_ *File, l *Loop) *quantity.Celsius { return at(&l.Model) }, low, high)
	}
	return []field{
		{key: "model.tunnel_air", about: "Heat that the tunnel's air and trays take for one degree. 0 kJ/K: by tunnel.volume.", initial: "0 kJ/K",
			at: capacity(func(m *Model) *quantity.JoulePerKelvin { return &m.TunnelAir })},
		{key: "model.tunnel_sun", about: "Area through which the sun warms the tunnel, times what two covers let through. 0 m2: no sun.", initial: "0.55 m2",
			at: between(func(_ *File, l *Loop) *quantity.SquareMetre { return &l.Model.TunnelSun }, 0, 500)},
		{key: "model.sun_to_bed", about: "Share of it that warms the bed; the rest warms the air.", initial: "60 %",
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Model.SunToBed }, 0, 1)},
		{key: "model.tunnel_vent", about: "Heat per kelvin that the tunnel's open vent lets out. 0 W/K: no vent.", initial: "110 W/K",
			at: conductance(func(m *Model) *quantity.WattPerKelvin { return &m.TunnelVent.Conductance })},
		{key: "model.tunnel_vent_opens", about: "Where it begins to open.", initial: "26 °C",
			at: degrees(func(m *Model) *quantity.Celsius { return &m.TunnelVent.Opens }, 0, 60)},
		{key: "model.tunnel_vent_band", about: "It is wide open so much higher.", initial: "2 K",
			at: modelKelvins(func(m *Model) *quantity.Kelvin { return &m.TunnelVent.Band }, 0.5, 30)},
		{key: "model.bed_to_air", about: "Bed to tunnel air.", initial: "9 W/K",
			at: conductance(func(m *Model) *quantity.WattPerKelvin { return &m.BedToAir })},
		{key: "model.bed_to_soil", about: "Bed to the deep soil. 0 W/K: none.", initial: "1.2 W/K",
			at: conductance(func(m *Model) *quantity.WattPerKelvin { return &m.BedToSoil })},
		{key: "model.soil", about: "Deep soil, all year.", initial: "8.5 °C",
			at: degrees(func(m *Model) *quantity.Celsius { return &m.Soil }, -20, 40)},
		{key: "model.house_air", about: "Heat that the greenhouse's air and contents take for one degree. 0 kJ/K: by house.floor.", initial: "0 kJ/K",
			at: capacity(func(m *Model) *quantity.JoulePerKelvin { return &m.HouseAir })},
		{key: "model.house_sun", about: "Share of the sun on the floor's area that warms the air. 0 %: no sun.", initial: "32 %",
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Model.HouseSun }, 0, 1)},
		{key: "model.house_vent", about: "Heat per kelvin that the greenhouse's open vents let out. 0 W/K: none.", initial: "480 W/K",
			at: conductance(func(m *Model) *quantity.WattPerKelvin { return &m.HouseVent.Conductance })},
		{key: "model.house_vent_opens", about: "Where they begin to open.", initial: "25 °C",
			at: degrees(func(m *Model) *quantity.Celsius { return &m.HouseVent.Opens }, 0, 60)},
		{key: "model.house_vent_band", about: "They are wide open so much higher.", initial: "2 K",
			at: modelKelvins(func(m *Model) *quantity.Kelvin { return &m.HouseVent.Band }, 0.5, 30)},
		{key: "model.sky_share", about: "Share of the cold sky that the greenhouse's cover sees. 0 %: no loss to the sky.", initial: "50 %",
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Model.SkyShare }, 0, 1)},
	}
}
