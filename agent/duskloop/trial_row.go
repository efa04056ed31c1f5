package main

import (
	"time"

	"duskloop/agent/wire"
)

// keepNewest keeps the reading before one at next, now that it is known for which share of
// the time between the heater was on.
func (f *follower) keepNewest(next time.Time) error {
	if f.newest == nil {
		return nil
	}
	from, heated := f.newest.at, time.Duration(0)
	for len(f.switches) > 0 && !f.switches[0].at.After(next) {
		at := f.switches[0].at
		if f.on && at.After(from) {
			heated += at.Sub(from)
		}
		if at.After(from) {
			from = at
		}
		f.on, f.switches = f.switches[0].on, f.switches[1:]
	}
	if f.on {
		heated += next.Sub(from)
	}
	f.newest.on = heated.Seconds() / next.Sub(f.newest.at).Seconds()
	return f.file.keep(*f.newest)
}

// placed is the reading of a place.
func placed(x *wire.Report, place string) (wire.Reported, bool) {
	for _, r := range x.Places {
		if r.Place == place {
			return r, true
		}
	}
	return wire.Reported{}, false
}

// row of an answer, or why it has none.
func (f *follower) row(a wire.Answer) (row runRow, why string) {
	x := a.Readings
	if a.Time.Sub(x.At) > 3*time.Duration(x.PeriodS*float64(time.Second)) {
		return row, "the daemon's last cycle is old"
	}
	liquid, _ := placed(x, f.liquid)
	air, _ := placed(x, f.air)
	all := []wire.Reported{liquid, air}
	if f.file.volts {
		panel := wire.Reported{Place: "panel", Trouble: "not told"}
		if x.Panel != nil {
			panel = *x.Panel
		}
		all = append(all, panel)
	}
	for _, r := range all {
		if !r.Fresh || r.V == nil {
			return row, r.Place + " " + missing(r)
		}
	}
	row = runRow{at: x.At.Add(-time.Duration(liquid.AgeS * float64(time.Second))), liquid: *liquid.V, air: *air.V}
	if f.file.volts {
		row.volts = *x.Panel.V
	}
	return row, ""
}

// missing says what is wrong with a reading. It does not count its age, so that it stays
// the same while the trouble does.
func missing(r wire.Reported) string {
	switch {
	case r.Trouble != "":
		return "cannot be read (" + r.Trouble + ")"
	case r.V == nil:
		return "was not read yet"
	}
	return "has an old reading only"
}
