package plant

import (
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// inputs are what stays constant through one Step.
type inputs struct {
	pump, fans     float64 // duties that take effect
	connected      bool
	chargerOff     bool    // the battery's
	flow           float64 // L/min
	stream         float64 // W/K carried by the liquid
	coil           float64 // W/K
	ghi            float64
	moisture       float64  // kPa of vapour in the air
	skyCooling     float64  // K by which the night sky lowers what the cover sees
	curve          pv.Curve // of the element's panel
	element        pv.Point // with the element connected
	panelSun       quantity.WattPerSquareMetre
	charger        pv.Curve
	pumpW, fansW   float64
	elementW, best float64
}

// airFilm is the outside film conductance of a cover in W/m²K: about 17 in the light
// wind of a clear night (ASHRAE Handbook, Fundamentals: 17.0 at 3.4 m/s; from
// memory, unverified). It turns a radiation deficit into degrees: the sol-air
// temperature.
const airFilm = 17.0

func (p *Plant) inputs(dt time.Duration, act Act, sky weather.Sample) inputs {
	in := inputs{
		pump:       duty(act.Pump),
		fans:       duty(act.Fans),
		connected:  (act.ElementConnected || p.faults.ContactorWelded) && !p.faults.ElementDead,
		chargerOff: act.ChargerOff,
		ghi:        max(0, float64(sky.GHI)),
		skyCooling: float64(p.params.Greenhouse.SkyLoss) * float64(sky.SkyDeficit()) / airFilm,
	}
	if p.faults.FanDead {
		in.fans = 0
	}
	in.pumpW, in.fansW = drawn(p.params.Loop.Pump, in.pump), drawn(p.params.Fans.Power, in.fans)
	in.moisture = p.moisture(sky)
	p.circulate(&in)
	p.light(&in, dt, sky)
	p.temp[atOutdoors] = float64(sky.Air)
	return in
}

// circulate finds what the pump moves and what the coil passes on. The liquid in
// the pipes is judged at the mean of coil and return.
func (p *Plant) circulate(in *inputs) {
	if in.pump == 0 || p.faults.PumpStuck {
		return
	}
	l := p.tank.at((p.temp[nCoil] + p.temp[nReturn]) / 2)
	in.flow = p.flow.Flow(in.pump, l.Kinematic())
	in.stream = in.flow / 60000 * l.Density * l.SpecificHeat
	in.coil = p.params.Coil.conductance(l, in.flow, in.stream, in.pump, in.fans, quantity.Celsius(p.temp[nAir]))
}

// light finds the panels' working points for the middle of the step.
func (p *Plant) light(in *inputs, dt time.Duration, sky weather.Sample) {
	if in.ghi == 0 || p.faults.PanelCovered {
		return
	}
	where := p.sun.At(p.now.Add(dt / 2))
	l := sun.Light{GHI: sky.GHI, DNI: sky.DNI, DHI: sky.DHI}
	onto := func(a *sun.Aim) (quantity.WattPerSquareMetre, quantity.Celsius) {
		g := a.HayDavies(where, l)
		return g, pv.CellTemperature(sky.Air, g, float64(sky.Wind))
	}
	g, cell := onto(&p.elementAim)
	in.panelSun, in.curve = g, p.element.At(g, cell)
	if in.connected {
		in.element = in.curve.OnResistor(p.params.Element.Resistance + p.params.Element.Cable)
		in.elementW = float64(in.element.Amps) * float64(in.element.Amps) * float64(p.params.Element.Resistance)
	}
	if in.chargerOff {
		return
	}
	if p.chargerAim != p.elementAim {
		g, cell = onto(&p.chargerAim)
	}
	in.charger = p.charger.At(g, cell)
	if p.params.Supply.Charger == MaximumPower {
		in.best = trackingShare * float64(in.charger.MaxPower().Power())
	}
}

// trackingShare is the efficiency of a maximum-power charger. Our estimate.
const trackingShare = 0.95

// duty is a command held to 0..1; NaN counts as rest.
func duty(s quantity.Share) float64 {
	if !(s > 0) {
		return 0
	}
	return min(float64(s), 1)
}

// moveVents lets the openers follow the temperature with a time constant of three
// minutes (our choice; wax openers are slower), by the implicit Euler rule.
func (p *Plant) moveVents(h float64) {
	share := h / (h + 180)
	p.opening.tunnel += share * (p.params.Tunnel.Vent.wants(p.temp[nAir]) - p.opening.tunnel)
	p.opening.house += share * (p.params.Greenhouse.Vent.wants(p.temp[nHouse]) - p.opening.house)
}

// wants is the opening, 0 to 1, at a temperature.
func (v Vent) wants(t float64) float64 {
	if v.Conductance == 0 {
		return 0
	}
	return min(1, max(0, (t-float64(v.Opens))/float64(v.Band)))
}

// lay writes the law of every flow for one substep. Without supply (served false)
// pump and fans stand.
func (p *Plant) lay(in *inputs, served bool) {
	stream, coil, pumpW, fansW, fans := in.stream, in.coil, in.pumpW, in.fansW, in.fans
	if !served {
		stream, coil, pumpW, fansW, fans = 0, 0, 0, 0, 0
	}
	elementW := in.elementW * p.params.Tank.Taper.left(p.temp[nTank])
	p.last.panelVolts = in.element.Volts
	if p.cutOut || !in.connected {
		elementW, p.last.panelVolts = 0, in.curve.OpenCircuit().Volts
	}
	still := float64(p.params.Loop.Still)
	if stream == 0 && fans > 0 {
		still += p.params.Coil.blown(fans) / 2 // the fans blow over the standing liquid
	}
	straight := 0.0
	if p.params.Loop.Volume == 0 {
		stream, coil, straight, still = 0, 0, coil, 0
	}
	t, g := &p.params.Tunnel, &p.params.Greenhouse
	p.laws.conductance = [flows]float64{
		standing:    float64(p.params.Tank.Loss),
		outward:     stream,
		across:      stream,
		back:        stream,
		byCoil:      coil,
		direct:      straight,
		coilRest:    still,
		returnRest:  still,
		bedToAir:    float64(t.BedToAir),
		bedToSoil:   float64(t.BedToSoil),
		tunnelCover: float64(t.Cover),
		tunnelVent:  p.opening.tunnel * float64(t.Vent.Conductance),
		houseCover:  float64(g.Cover),
		houseLeak:   float64(g.Leak),
		houseVent:   p.opening.house * float64(g.Vent.Conductance),
	}
	p.laws.power = [flows]float64{
		byElement:  elementW,
		byPump:     pumpW * float64(p.params.Loop.PumpHeat),
		byFans:     fansW * float64(p.params.Fans.InTunnel),
		sunOnAir:   in.ghi * float64(t.Sun) * (1 - float64(t.SunToBed)),
		sunOnBed:   in.ghi * float64(t.Sun) * float64(t.SunToBed),
		sunOnHouse: in.ghi * float64(g.Sun),
		motorsOut: fansW*(1-float64(p.params.Fans.InTunnel)) +
			pumpW*(1-float64(p.params.Loop.PumpHeat)),
		houseSky:    float64(g.Cover) * in.skyCooling,
		evaporation: p.evaporate(in),
	}
	p.last.elementPower, p.last.panelSun = elementW, in.panelSun
	p.last.flow = 0
	if stream > 0 || straight > 0 {
		p.last.flow = in.flow
	}
}
