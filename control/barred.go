package control

import (
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// Bar is what keeps all heat from the tunnel.
type Bar int

// The bars.
const (
	NotBarred Bar = iota
	BarredByHold
	BarredByWatch
	BarredByStop
)

// Barred says that no heat comes to the tunnel, whatever a plan has.
type Barred struct {
	By   Bar
	Why  Reason        // of a stop
	Left time.Duration // of an order by hand; when a stop ends nobody knows
}

// barred reads a step's end. A stop goes before an order by hand: that one ends. The
// battery's reserve is no bar: the plan knows it, and the sun that ends it.
func (v *view) barred() Barred {
	h := v.st.Hand
	if w, ok := stops(v); ok {
		return Barred{By: BarredByStop, Why: w.reason}
	}
	switch {
	case h.Hold > 0 && h.Hold >= h.Watch:
		return Barred{By: BarredByHold, Left: h.Hold}
	case h.Watch > 0:
		return Barred{By: BarredByWatch, Left: h.Watch}
	}
	return Barred{}
}

// Same says whether two bars would look the same to a reader, but for the time that passed.
func (b Barred) Same(other Barred) bool { return b.By == other.By && b.Why == other.Why }

// Code is a word for machines: an order's alert or a stop's reason; empty where nothing bars.
func (b Barred) Code() string {
	switch b.By {
	case BarredByHold:
		return AlertHeld.String()
	case BarredByWatch:
		return AlertWatching.String()
	case BarredByStop:
		return b.Why.String()
	}
	return ""
}

// End is when it ends by itself, seen at a time; not ok where nobody knows.
func (b Barred) End(at time.Time) (end time.Time, ok bool) {
	return at.Add(b.Left), b.By == BarredByHold || b.By == BarredByWatch
}

// Whole says that it lasts beyond the hour at which a tunnel without heat is coldest.
func (b Barred) Whole(a *night.Advice, at time.Time) bool {
	end, ends := b.End(at)
	return b.By != NotBarred && (!ends || a.Story.UnheatedAt.IsZero() || !end.Before(a.Story.UnheatedAt))
}

// Coldest is the tunnel's air at its coldest while it is barred, as the outlook has it
// without heat, and when; not ok where there is no plan.
func (b Barred) Coldest(a *night.Advice, at time.Time) (c quantity.Celsius, when time.Time, ok bool) {
	if b.By == NotBarred || a.Way != night.Planned || a.Story.UnheatedAt.IsZero() {
		return 0, when, false
	}
	if b.Whole(a, at) {
		return quantity.Celsius(a.Story.Unheated), a.Story.UnheatedAt, true
	}
	end, _ := b.End(at)
	x, when, ok := a.UnheatedUntil(end)
	return quantity.Celsius(x), when, ok
}

// Words say why, and to when.
func (b Barred) Words(at time.Time, zone *time.Location) string {
	end, _ := b.End(at)
	switch b.By {
	case BarredByHold:
		return "held off by hand until " + Until(at, end, zone)
	case BarredByWatch:
		return "watch only until " + Until(at, end, zone)
	case BarredByStop:
		return b.Why.Words()
	}
	return ""
}

// soon is for how long a time of day alone says which day is meant. Chosen.
const soon = 18 * time.Hour

// Until is an end as who reads it at a time needs it: with its day where that is far.
func Until(at, end time.Time, zone *time.Location) string {
	if end.Sub(at) < soon {
		return end.In(zone).Format(clock)
	}
	return end.In(zone).Format("Mon 2 Jan " + clock)
}
