package plant

import (
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
	"duskloop/sim/coil"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
)

// Params describes one plant. Conductances and capacities may be given directly;
// CoverLoss and AirChange derive some of them from areas and volumes. Every single
// effect is switched off by its zero: no OpenSurface, no evaporation; no Head, a
// flow that does not know the mix; no Bore, no liquid film in the coil; no SkyLoss,
// no night sky; no Sun, no solar gain; no Leak, no Vent, no CutOut.
type Params struct {
	Site       sun.Site
	Tank       Tank
	Element    Element
	Loop       Loop
	Coil       Coil
	Fans       Fans
	Tunnel     Tunnel
	Greenhouse Greenhouse
	Supply     Supply
	// Substep is the longest time for which cut-out, supply and vents stand still inside
	// Step. Zero means 60 s. The heat goes in shorter steps where it must.
	Substep time.Duration
}

// Tank is the store of warm liquid. Its loss goes to the greenhouse air.
type Tank struct {
	Volume   quantity.Litre // of liquid at 20 °C
	Glycerin quantity.Share // by weight, 0 to 60 %
	// Capacity, if given, stands in place of the mix's own, which grows with
	// temperature.
	Capacity quantity.JoulePerKelvin
	Loss     quantity.WattPerKelvin
	// OpenSurface is liquid open to the greenhouse air. Zero: covered.
	OpenSurface quantity.SquareMetre
	// CutOut is where the independent thermal cut-out opens the element's circuit;
	// it closes again CutOutReset lower. Zero: none fitted.
	CutOut      quantity.Celsius
	CutOutReset quantity.Kelvin
	// Taper lets the element's power fall off with the tank's temperature. Zero: none.
	Taper Taper
}

// Taper is an element whose power falls straight to nothing over Band above From.
// Zero Band: it does not.
type Taper struct {
	From quantity.Celsius
	Band quantity.Kelvin
}

// left is the share of the power at a temperature.
func (t Taper) left(c float64) float64 {
	if t.Band == 0 {
		return 1
	}
	return min(1, max(0, 1-(c-float64(t.From))/float64(t.Band)))
}

// Element is the immersion heater with the panel it is wired to.
type Element struct {
	Panel      Panel
	Resistance quantity.Ohm
	Cable      quantity.Ohm // both ways; its heat is lost outdoors
}

// Panel is photovoltaic: one panel, or several alike, looking one way. Without a
// Nameplate it is a generic 36-cell 12 V-class module of the Rating (pv.Generic);
// with one, so many in Series and in Parallel (0 means 1), and Rating is ignored.
type Panel struct {
	Rating           quantity.Watt
	Nameplate        pv.Nameplate
	Series, Parallel int
	Plane            sun.Plane
}

// Module is the panels' diode as one. The error names a rating or a nameplate that no
// panel has.
func (p Panel) Module() (pv.Module, error) {
	if p.Nameplate == (pv.Nameplate{}) {
		return pv.Generic(p.Rating)
	}
	m, err := pv.Fit(p.Nameplate)
	if err != nil {
		return m, err
	}
	return m.Array(max(p.Series, 1), max(p.Parallel, 1))
}

// Loop is pump and pipe.
type Loop struct {
	// Volume of liquid in coil and pipes; it delays the heat by Volume / Flow. Zero:
	// the coil takes its heat straight from the tank, a Lumped coil only, and probes on
	// coil and return read the tank; Still is then ignored.
	Volume       quantity.Litre
	coil.Circuit               // what the pump moves
	Pump         quantity.Watt // drawn at full duty
	// PumpHeat is the share of the pump's power that ends in the liquid; the rest
	// warms the greenhouse.
	PumpHeat quantity.Share
	// Still is what the coil and each half of the pipes lose to the tunnel air
	// with pump and fans at rest.
	Still quantity.WattPerKelvin
}

// Coil is the finned heat exchanger in the tunnel. Lumped, if given, is its
// effectiveness times the smaller capacity rate at full duty, and the rest is
// ignored. It follows the root of the duty (of the mean of pump and fans): films of
// forced convection go with speed to the power 0.5 to 0.8 (Incropera & DeWitt,
// Fundamentals of Heat and Mass Transfer, ch. 7 and 8; from memory), and a slower
// stream gives more of its heat; the root is our choice.
type Coil struct {
	Lumped quantity.WattPerKelvin
	coil.Coil
}

// Fans blow through the coil.
type Fans struct {
	Power    quantity.Watt  // all fans, at full duty
	InTunnel quantity.Share // of their power that warms the tunnel: 100 % if they stand in it
}

// Tunnel is the cover over the seedlings, inside the greenhouse.
type Tunnel struct {
	Air, Bed  quantity.JoulePerKelvin
	BedToAir  quantity.WattPerKelvin
	BedToSoil quantity.WattPerKelvin
	Soil      quantity.Celsius       // deep soil, constant
	Cover     quantity.WattPerKelvin // air to greenhouse air, air leaks included
	Sun       quantity.SquareMetre   // area times transmittances: heat gained = Sun x GHI
	SunToBed  quantity.Share
	Vent      Vent
}

// Greenhouse is the house around the tunnel.
type Greenhouse struct {
	Air     quantity.JoulePerKelvin
	Cover   quantity.WattPerKelvin // glazing to outdoors
	Leak    quantity.WattPerKelvin // infiltration to outdoors
	Sun     quantity.SquareMetre
	Vent    Vent
	SkyLoss quantity.Share // share of the sky seen by the cover; 0 switches night-sky loss off
}

// Vent opens with temperature: no conductance at Opens, all of it Band higher.
// Zero Conductance: no vent.
type Vent struct {
	Opens       quantity.Celsius
	Band        quantity.Kelvin
	Conductance quantity.WattPerKelvin
}

// Supply is the 12 V side.
type Supply struct {
	Battery battery.Params
	Panel   Panel
	Charger Charger
	// BaseLoad is drawn all the time: the computer.
	BaseLoad quantity.Watt
}

// Charger is how the battery's panel is coupled.
type Charger int

// The couplings that are known.
const (
	// Direct joins panel and battery (a switching shunt or series controller): the
	// panel works at the battery's voltage.
	Direct Charger = iota
	// MaximumPower tracks the panel's best point, with 95 % conversion (our
	// estimate).
	MaximumPower
)
