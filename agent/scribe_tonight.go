package agent

import (
	"math"
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// tellTonight is how often the night's story is told while its way stays.
const tellTonight = time.Hour

// tonight is the event that tells the night's story, where that is due.
func (s *scribe) tonight(at time.Time, d *control.Decision, u quantity.Units) []record.Event {
	a := &d.Facts.Tonight
	same := a.Way == s.night.Way && a.Why == s.night.Why && a.Cold == s.night.Cold && s.stillBarred(at, d.Facts.Barred)
	if a.Way == night.Unasked || a.Way == night.Planned && a.Story.ColdestAt.IsZero() || same && at.Sub(s.toldNight) < tellTonight {
		return nil
	}
	s.night, s.barred, s.toldNight = *a, d.Facts.Barred, at
	return []record.Event{s.event(at, record.KindTonight, a.Way.String(), s.story(at, &d.Facts, u))}
}

// stillBarred says that what keeps heat from the tunnel, and to when, is as it was last told.
func (s *scribe) stillBarred(at time.Time, b control.Barred) bool {
	then, _ := s.barred.End(s.toldNight)
	now, _ := b.End(at)
	return b.Same(s.barred) && (b.Left == 0 || now.Sub(then).Abs() < time.Minute)
}

// story is the document of a decision's advice, and of what keeps it from being followed.
func (s *scribe) story(at time.Time, f *control.Facts, u quantity.Units) wire.Tonight {
	a, b := &f.Tonight, f.Barred
	zone := at.Location()
	if !a.Story.ColdestAt.IsZero() {
		zone = a.Story.ColdestAt.Location()
	}
	doc := wire.Tonight{
		Head: s.head(at), Way: a.Way.String(), Words: control.TonightWords(*a, b, at, u, zone),
		Why: a.Why.String(), HeatNeeded: a.Cold, Nights: a.Nights, RestsOn: a.Rests.String(), NoHeat: b.Code(),
	}
	if end, ends := b.End(at); ends {
		doc.NoHeatUntil = moment(end)
	}
	if r := a.Record; r.Bets > 0 {
		doc.OutlookOffK, doc.ForecastOffK = tenths(r.Outlook), tenths(r.Forecast)
	}
	if a.Learned != nil {
		doc.Learned = learned(*a.Learned)
	}
	if a.Way != night.Planned {
		return doc
	}
	t := &a.Story
	doc.UnheatedC, doc.ChargePct = tenths(t.Unheated), tenths(100*t.Charge)
	doc.HeatLeftWh = tenths(t.Left)
	if b.Whole(a, at) {
		return doc // of a plan that is not followed nothing is told
	}
	doc.ColdestLowC, doc.ColdestHighC = tenths(t.Low), tenths(t.High)
	if !a.Cold {
		return doc
	}
	doc.ColdestC, doc.ColdestAt = tenths(t.Coldest), moment(t.ColdestAt)
	doc.HeatLastsTo, doc.NextFrom, doc.NextTo = moment(t.Lasts), moment(t.From), moment(t.To)
	doc.HeatWantedWh, doc.ChargeThen = tenths(t.Needed), tenths(100*t.ChargeEnd)
	return doc
}

// moment is a time in UTC, absent where it does not come.
func moment(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	t = t.UTC().Round(time.Second)
	return &t
}

// tenths is a number to a tenth.
func tenths(x float64) *float64 {
	x = math.Round(10*x) / 10
	return &x
}

// learned are figures to three digits, their widths to a tenth.
func learned(all []night.Learned) []wire.Learned {
	out := make([]wire.Learned, len(all))
	for i, l := range all {
		out[i] = wire.Learned{Name: l.Name, Unit: l.Unit, ByFile: digits(l.File), ByRecord: digits(l.Value), WidthPct: *tenths(100 * l.Width)}
	}
	return out
}

// digits is a number above 0 to three digits.
func digits(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-2)
	return math.Round(math.Round(x/unit)*unit*1e6) / 1e6
}
