package fitted

import (
	"fmt"

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

// Verdict says in words how far a fit can be trusted.
func Verdict(r *fit.Result) string {
	good := fmt.Sprintf("good to %.1f K in the tunnel and %.1f K in the tank over a night that it has not seen", r.Air, r.Tank)
	switch {
	case r.Air > compareAir || r.Tank > compareTank:
		return fmt.Sprintf("off by %.1f K in the tunnel and %.1f K in the tank on nights that it has not seen: do not trust it", r.Air, r.Tank)
	case r.Air > tuneAir || r.Tank > tuneTank:
		return good + ": trust it to compare settings, not to tell a night's coldest air"
	}
	switch {
	case r.Lost > mostLost:
		return good + fmt.Sprintf(": but %.0f %% of the nights' minutes are missing from the record, so compare settings by it and no more", 100*r.Lost)
	case len(r.Nights) < tuneNights:
		return good + fmt.Sprintf(": but that rests on %d nights, so compare settings by it, and fit again after a week", len(r.Nights))
	}
	if name := unsure(r.Figures); name != "" {
		return good + ": trust it for tuning; not for sizing another tank or cover, since the record does not tell well enough: " + name
	}
	return good + ": trust it for tuning, and for sizing as far as a lumped model goes"
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
