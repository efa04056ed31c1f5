package agent

import (
	"math"

	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
	"duskloop/sim/coil"
	"duskloop/sim/plant"
	"duskloop/sim/sun"
)

// Figures of our own choosing where the file gives none: air and trays of a tunnel
// and a glasshouse hold several times the heat of the air alone.
const (
	tunnelHeat  = 10.0 // J/K per litre of tunnel
	houseHeat   = 40e3 // J/K per m² of floor
	houseHeight = 2.0  // m, for the air that is exchanged
)

// plantParams turns the greenhouse file into the plant's parameters, by what was fitted to
// its record where it has that.
func plantParams(f *config.File) plant.Params { return f.Fitted.Plant(ownParams(f), stated(f)) }

// stated are the duties at which a file states draws and coil.
func stated(f *config.File) fitted.Duties {
	l := f.Loop()
	return fitted.Duties{Pump: float64(l.Pump.Stated), Fans: float64(l.Fans.Stated)}
}

// ownParams are the plant's by the greenhouse file alone.
func ownParams(f *config.File) plant.Params {
	l := f.Loop()
	plane := sun.Plane{Tilt: l.Element.Tilt, Facing: l.Element.Facing, Albedo: sun.Ground}
	p := plant.AlderHollow()
	p.Site = SunSite(f.Site)
	p.Tank = plant.Tank{
		Volume: l.Tank.Volume, Glycerin: l.Tank.Glycerin, Loss: l.Tank.Loss,
		Capacity: l.Model.TankHeat, OpenSurface: l.Model.OpenSurface,
		CutOut: l.Element.CutOut, CutOutReset: p.Tank.CutOutReset,
		Taper: plant.Taper{From: l.Model.TaperFrom, Band: l.Model.TaperBand},
	}
	p.Element = plant.Element{Panel: labelled(l, plane), Resistance: l.Element.Resistance, Cable: l.Element.Cable}
	p.Loop = describedLoop(l, p.Loop.Still)
	p.Coil = describedCoil(l)
	p.Fans = plant.Fans{Power: plant.FullPower(l.Fans.Draw, l.Fans.Stated), InTunnel: l.Model.FansInTunnel}
	p.Tunnel = describedTunnel(l)
	p.Greenhouse = describedHouse(l)
	p.Supply.Battery = battery.Typical(chemistry(l.Battery.Chemistry.Kind), l.Battery.Capacity)
	p.Supply.Panel = plant.Panel{Rating: l.Battery.Panel, Plane: chargingPlane(l, plane)}
	p.Supply.Charger = coupled(l.Battery.Controller)
	p.Supply.BaseLoad = l.Battery.Computer
	return p
}

// labelled is the element's panel: by its label where that is given.
func labelled(l *config.Loop, plane sun.Plane) plant.Panel {
	p := plant.Panel{Rating: l.Element.Panel, Plane: plane}
	if n := l.Label; n.Given() {
		p.Nameplate = n.PV()
		p.Series, p.Parallel = int(n.Series), int(n.Parallel)
	}
	return p
}

// chargingPlane is where the battery's panel looks: as the element's, unless told.
func chargingPlane(l *config.Loop, as sun.Plane) sun.Plane {
	if l.Battery.Tilt >= 0 {
		as.Tilt = l.Battery.Tilt
	}
	if l.Battery.Facing >= 0 {
		as.Facing = l.Battery.Facing
	}
	return as
}

func coupled(c config.Coupling) plant.Charger {
	if c == config.MaximumPower {
		return plant.MaximumPower
	}
	return plant.Direct
}

func describedLoop(l *config.Loop, still quantity.WattPerKelvin) plant.Loop {
	m := l.Model
	// The file tells what is at the drives' duty, the plant wants it at full duty.
	c := coil.Circuit{Flow: l.Coil.Flow / quantity.LitrePerMinute(l.Pump.Stated)}
	if m.PumpHead > 0 {
		c.Head, c.Bore, c.Length = m.PumpHead, m.PipeBore, m.PipeLength
	}
	return plant.Loop{Volume: l.Coil.Volume, Circuit: c, Pump: plant.FullPower(l.Pump.Draw, l.Pump.Stated), PumpHeat: m.PumpHeat, Still: still}
}

func describedCoil(l *config.Loop) plant.Coil {
	m := l.Model
	if m.CoilFins == 0 {
		return plant.Coil{Lumped: l.Coil.Conductance / quantity.WattPerKelvin(math.Sqrt(float64(l.Pump.Stated*l.Fans.Stated)))}
	}
	return plant.Coil{Coil: coil.Coil{
		Fins: m.CoilFins, AirFlow: m.CoilAir, Bore: m.CoilBore, Length: m.CoilLength, Circuits: int(m.CoilCircuits),
	}}
}

func describedTunnel(l *config.Loop) plant.Tunnel {
	m := l.Model
	return plant.Tunnel{
		Air: either(m.TunnelAir, quantity.JoulePerKelvin(tunnelHeat*float64(l.Tunnel.Volume))),
		Bed: l.Tunnel.Bed, BedToAir: m.BedToAir, BedToSoil: m.BedToSoil, Soil: m.Soil,
		Cover: either(l.Tunnel.Cover, glazed(l.Tunnel.Glazing)+leak(l.Tunnel.Glazing, l.Tunnel.Volume)),
		Sun:   m.TunnelSun, SunToBed: m.SunToBed, Vent: vent(m.TunnelVent),
	}
}

func describedHouse(l *config.Loop) plant.Greenhouse {
	m, floor := l.Model, l.House.Floor
	g := plant.Greenhouse{
		Air:   either(m.HouseAir, quantity.JoulePerKelvin(houseHeat*float64(floor))),
		Cover: l.House.Cover,
		Sun:   quantity.SquareMetre(m.HouseSun) * floor,
		Vent:  vent(m.HouseVent), SkyLoss: m.SkyShare,
	}
	if g.Cover == 0 {
		g.Cover = glazed(l.House.Glazing)
		g.Leak = leak(l.House.Glazing, quantity.Litre(1000*houseHeight*float64(floor)))
	}
	return g
}

// either is the first figure, or the second where the first is not given.
func either[T ~float64](given, derived T) T {
	if given > 0 {
		return given
	}
	return derived
}

// glazed is the conductance of a cover of one or two layers.
func glazed(g config.Glazing) quantity.WattPerKelvin {
	if g.Layers == 2 {
		return plant.CoverLoss(g.Area, plant.DoubleGlazing)
	}
	return plant.CoverLoss(g.Area, plant.SingleGlazing)
}

func leak(g config.Glazing, air quantity.Litre) quantity.WattPerKelvin {
	return plant.AirChange(air, float64(g.Changes))
}

func vent(v config.Vent) plant.Vent {
	return plant.Vent{Opens: v.Opens, Band: v.Band, Conductance: v.Conductance}
}

func chemistry(c control.Chemistry) battery.Chemistry {
	switch c {
	case control.AGM:
		return battery.AGM
	case control.LFP:
		return battery.LiFePO4
	}
	return battery.Flooded
}
