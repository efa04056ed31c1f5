package nightly

import (
	"math"
	"time"
)

// end is where the night ends, or now while it runs.
func (s *Sum) end() time.Time {
	if s.rules.Now.Before(s.rules.To) {
		return s.rules.Now
	}
	return s.rules.To
}

// Close ends the night. It is called once, before Night; without it nothing is known of the
// time after the last reading.
func (s *Sum) Close() {
	end := s.end()
	s.hold(end)
	if end.Sub(s.seenTo) > s.gap() {
		s.gaps = append(s.gaps, Gap{s.seenTo.UTC(), end.UTC()})
	}
}

// Night is the document of a night that is closed.
func (s *Sum) Night() Night {
	r := &s.rules
	n := Night{
		Date: r.From.Format(time.DateOnly), From: r.From.UTC(), To: r.To.UTC(), Loop: s.loop, Simulated: s.simulated,
		Running: r.Now.Before(r.To), Gaps: append([]Gap{}, s.gaps...), MinimumC: rounded(float64(r.Minimum), 2),
		CoilWPerK: rounded(float64(r.Coil), 2), Dusk: moment(r.Dusk), Dawn: moment(r.Dawn),
		Expected: s.told, Alerts: s.alerts.all(),
	}
	if whole := s.end().Sub(r.From); whole > 0 {
		n.RecordedPct = rounded(min(100, 100*float64(s.seen)/float64(whole)), 1)
	}
	if s.begun && r.Settings != nil {
		n.HeatWh, n.GatheredWh, n.BatteryWh = figure(s.heat, 1), figure(s.gathered, 1), figure(s.drawn, 1)
		n.TankGaveWh = s.gave()
		n.HeatUnseenS, n.RanS = s.unseen.Seconds(), s.Ran.Seconds()
	}
	if s.Known {
		n.ColdestC, n.ColdestAt, n.Squared = figure(float64(s.Coldest), 2), moment(s.ColdestAt), figure(s.Squared, 2)
	}
	s.chargesInto(&n)
	return n
}

// chargesInto fills in the charge and how long the heat lasted.
func (s *Sum) chargesInto(n *Night) {
	if s.dusk.known {
		n.ChargeDuskPct, n.ChargeDuskBandPct = figure(100*s.dusk.charge, 1), figure(100*s.dusk.band, 1)
	}
	if s.dawn.known {
		n.ChargeDawnPct, n.ChargeDawnBandPct = figure(100*s.dawn.charge, 1), figure(100*s.dawn.band, 1)
	}
	if s.then.OK {
		n.ChargeColdestPct = figure(100*s.then.V, 1)
	}
	n.HeatLastedTo = moment(s.lasted)
}

// rounded to so many decimals.
func rounded(v float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(v*p) / p
}

// figure is a known one, rounded.
func figure(v float64, digits int) *float64 {
	v = rounded(v, digits)
	return &v
}

// moment is a time in UTC, absent where it does not come.
func moment(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	t = t.UTC().Round(time.Second)
	return &t
}
