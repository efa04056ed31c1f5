package agent

import (
	"slices"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/picture"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// mostWays is how many ways are drawn beside each other; of more, those of wayside are
// left out.
const mostWays = 6

// wayside are the policies that say least in a picture: one that is like another, and one
// that nobody can have.
var wayside = [...]string{season.PolicyNightDifference, season.PolicyPlanPerfect}

// glosses say in a few words what a policy does.
var glosses = map[string]string{
	season.PolicyOff: "nothing runs", season.PolicyDifference: "tank 8 K over the tunnel",
	season.PolicyNightDifference: "the same, at night only",
	season.PolicyFloor:           "a floor held until morning", season.PolicyPlan: "what duskloop does",
	season.PolicyPlanPerfect: "knowing the weather ahead", season.PolicyForesight: "the best in hindsight",
}

// gloss of a policy, for a crop's minimum.
func gloss(policy string, minimum float64, u quantity.Units) string {
	if policy == season.PolicyThermostat {
		return "on below " + quantity.Celsius(minimum).Plus(-season.Short).In(u)
	}
	return glosses[policy]
}

// whyShown says why a night is shown, by whether it was chosen for its timing.
var whyShown = map[bool]string{
	false: "Of the winter's ten coldest nights the one on which the ways differ most.",
	true:  "Of the winter's ten coldest nights the one whose coldest hour foresight warms most over the thermostat.",
}

// BesideNights draws the hard night of the flights of one winter (season.HardNight), a
// picture each with the same axes. picture.ErrNothing where no whole night was flown.
func BesideNights(f *config.File, over season.Span, flights []season.Flight) (*picture.Beside, error) {
	var flown []season.Flight
	for _, x := range flights {
		if len(flights) <= mostWays || !slices.Contains(wayside[:], x.Score.Policy) {
			flown = append(flown, x)
		}
	}
	n, ok := season.HardNight(over, flown)
	if !ok {
		return nil, picture.ErrNothing
	}
	from := n.Start.In(SunZone(f))
	frame, err := picture.NewFrame(from, from.Add(24*time.Hour))
	if err != nil {
		return nil, err
	}
	b := &picture.Beside{
		Frame: frame, Place: string(f.Site.Name), Units: f.Site.Units, Minimum: float64(f.Loop().Crop.Minimum),
		Nights: nights(f, frame.From, frame.To), Why: whyShown[n.Timed],
	}
	for i := range flown {
		b.Ways = append(b.Ways, wayOf(frame, &flown[i], n, b.Minimum, b.Units))
	}
	return b, nil
}

// wayOf is a night of a flight.
func wayOf(frame picture.Frame, f *season.Flight, n season.Night, minimum float64, u quantity.Units) picture.Way {
	w := picture.Way{
		Name: f.Score.Policy, Gloss: gloss(f.Score.Policy, minimum, u), Tunnel: picture.NewTrace(frame, "tunnel"), House: picture.NewTrace(frame, "greenhouse"),
		Tank: picture.NewTrace(frame, "tank"), Pump: picture.NewLane(frame, "pump", ""),
		Used: float64(f.Seen[n.Last-1].Used - f.Seen[n.First].Used),
	}
	for i, g := range f.Seen[n.First:n.Last] {
		at := frame.From.Add(time.Duration(i) * time.Minute)
		w.Tunnel.Add(at, float64(g.Tunnel), 0)
		w.House.Add(at, float64(g.House), 0)
		w.Tank.Add(at, float64(g.Tank), 0)
		below := max(0, minimum-float64(g.Tunnel))
		w.Below += below * below / 60
		if f.Duties[n.First+i] > 0 {
			w.Pump.Hold(at, at.Add(time.Minute))
		}
	}
	return w
}
