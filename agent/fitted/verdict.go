package fitted

import (
	"fmt"

	"duskloop/sensors/quantity"
	"duskloop/sim/fit"
)

// How good a fit must be for what, K over a night that it has not seen. Our choices: the
// first pair is what a plan's own forecast of air is off, and less than a crop's usual margin.
const (
	tuneAir, tuneTank       = 0.7, 1.5
	compareAir, compareTank = 1.0, 2.0
)

// How many nights must have been foretold, and how much of the nights may be missing, before a
// fit is taken for tuning. Our choices.
const (
	tuneNights = 5
	mostLost   = 0.1
)

// sizingWidth is how near the figures that sums about other hardware rest on must be told, as
// a share.
const sizingWidth = 0.15

// trust says in words what a fit can be trusted for.
func trust(r *fit.Result) string {
	switch {
	case r.Air > compareAir || r.Tank > compareTank:
		return "do not trust it"
	case r.Air > tuneAir || r.Tank > tuneTank:
		return "trust it to compare settings, not to tell a night's coldest air"
	case r.Lost > mostLost:
		return fmt.Sprintf("but %.0f %% of the nights' minutes are missing from the record, so compare settings by it and no more", 100*r.Lost)
	case len(r.Nights) < tuneNights:
		return fmt.Sprintf("but that rests on %d nights, so compare settings by it, and fit again after a week", len(r.Nights))
	}
	if name := unsure(r.Figures); name != "" {
		return "trust it for tuning; not for sizing another tank or cover, since the record does not tell well enough: " + name
	}
	return "trust it for tuning, and for sizing as far as a lumped model goes"
}

// Trusted says that settings can be compared by a fit at all.
func (g *Greenhouse) Trusted() bool { return g.TunnelOff <= compareAir && g.TankOff <= compareTank }

// Verdict says in words how well a fit foretells nights, in some units, and what it can be
// trusted for.
func (g *Greenhouse) Verdict(u quantity.Units) string {
	good := "good to"
	if !g.Trusted() {
		good = "off by"
	}
	return fmt.Sprintf("%s %s in the tunnel and %s in the tank over a night that it has not seen: %s", good, quantity.Kelvin(g.TunnelOff).In(u), quantity.Kelvin(g.TankOff).In(u), g.Trust)
}

// unsure names the first figure that sizing rests on and that is not told well enough.
func unsure(all []fit.Figure) string {
	for _, name := range []string{"tank loss", "coil", "element", "tunnel cover"} {
		ok := false
		for _, f := range all {
			ok = ok || f.Name == name && f.Told && f.High/f.Value-1 <= sizingWidth
		}
		if !ok {
			return name
		}
	}
	return ""
}
