package agent

import (
	"io"
	"slices"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/picture"
	"duskloop/agent/record"
	"duskloop/control"
)

// Pictured gathers readings into a picture as they come.
type Pictured struct {
	sheet  picture.Sheet
	period time.Duration
	places [control.Places]*picture.Trace // nil: not drawn
	seen   [control.Places]time.Time      // last believed
	charge time.Time
	spare  time.Time // last reading with a reserve
	limits control.Settings
	why    map[cause]*picture.Lane
	last   *record.Reading

	minimum, reserve changes // while running
}

// cause is one lane of the ribbon.
type cause struct {
	mode   control.Mode
	reason control.Reason
}

// airPlaces are drawn on one scale, in this order.
var airPlaces = [...]control.Place{control.Tunnel, control.Greenhouse, control.Outdoors, control.Bed}

// NewPictured is an empty picture of a span, its times in the zone of from. period
// is the usual time between readings: what is missing for more than three is a gap.
// Without a file nothing is known of the place: not its name, unit or sun, nor the
// crop's minimum.
func NewPictured(f *config.File, from, to time.Time, period time.Duration) (*Pictured, error) {
	frame, err := picture.NewFrame(from, to)
	if err != nil {
		return nil, err
	}
	p := &Pictured{
		period: max(period, time.Second), why: make(map[cause]*picture.Lane),
		sheet: picture.Sheet{
			Frame: frame, Charge: picture.NewTrace(frame, "battery"), Hours: picture.NewField(frame, "pump"),
			Ran:    []*picture.Lane{picture.NewLane(frame, "pump", ""), picture.NewLane(frame, "fans", "")},
			Silent: picture.NewLane(frame, "no record", ""),
		},
	}
	p.sheet.Tank = p.trace(control.Tank)
	for _, place := range airPlaces {
		if f == nil || f.Loop().Probes[place].ID != "" {
			p.sheet.Air = append(p.sheet.Air, p.trace(place))
		}
	}
	if f == nil {
		return p, nil
	}
	p.at(f)
	p.limits, err = f.Settings()
	return p, err
}

func (p *Pictured) trace(place control.Place) *picture.Trace {
	t := picture.NewTrace(p.sheet.Frame, place.String())
	p.places[place] = t
	return t
}

// at takes what the greenhouse file says.
func (p *Pictured) at(f *config.File) {
	s, l := &p.sheet, f.Loop()
	s.Place, s.Loop, s.Units = string(f.Site.Name), l.Name, f.Site.Units
	s.Minimum = picture.Level{{From: s.From, V: float64(l.Crop.Minimum)}}
	s.Nights, s.NightsKnown = nights(f, s.From, s.To), true
	s.Reserve = picture.NewTrace(s.Frame, "reserve")
}

// gap is the longest time between readings that is no gap.
func (p *Pictured) gap() time.Duration { return 3 * p.period }

// Add takes a reading.
func (p *Pictured) Add(x *record.Reading) {
	p.sheet.Simulated = p.sheet.Simulated || x.Simulated
	if p.sheet.Loop == "" {
		p.sheet.Loop = x.Loop
	}
	p.hold(x.At)
	for place, t := range p.places {
		if t != nil && p.believed(x, control.Place(place)) {
			p.value(t, &p.seen[place], x.At, x.Places[place].V, 0)
		}
	}
	if x.Charge.OK {
		p.value(p.sheet.Charge, &p.charge, x.At, x.Charge.V, x.Band)
	}
	if p.sheet.Reserve != nil {
		p.value(p.sheet.Reserve, &p.spare, x.At, p.reserveOf(x), 0)
	}
	row := *x
	p.last = &row
}

// believed says that a place's value is of this reading, and not an old one that
// stands in for it.
func (p *Pictured) believed(x *record.Reading, place control.Place) bool {
	_, trouble := x.Trouble[place.String()]
	return x.Places[place].OK && !trouble && x.Places[place].Age <= p.gap()
}

func (p *Pictured) value(t *picture.Trace, seen *time.Time, at time.Time, v, band float64) {
	if since := at.Sub(*seen); since < 0 || since > p.gap() {
		t.Break()
	}
	t.Add(at, v, band)
	*seen = at
}

// hold lets what the last reading says hold up to the next one; over a gap for one
// period, and then nothing is known.
func (p *Pictured) hold(now time.Time) {
	x := p.last
	if x == nil {
		p.sheet.Silent.Hold(p.sheet.From, now.Add(-p.gap()))
		return
	}
	until := now
	if now.Sub(x.At) > p.gap() {
		until = x.At.Add(p.period)
		p.sheet.Silent.Hold(until, now)
	}
	p.lane(x).Hold(x.At, until)
	if x.Outputs.Pump > 0 {
		p.sheet.Ran[0].Hold(x.At, until)
		p.sheet.Hours.Hold(x.At, until)
	}
	if x.Outputs.Fans > 0 {
		p.sheet.Ran[1].Hold(x.At, until)
	}
}

func (p *Pictured) lane(x *record.Reading) *picture.Lane {
	c := cause{x.Mode, x.Reason}
	l := p.why[c]
	if l == nil {
		l = picture.NewLane(p.sheet.Frame, c.mode.String(), c.reason.Words())
		p.why[c] = l
	}
	return l
}

// Write ends the gathering and writes the picture. It is called once.
func (p *Pictured) Write(w io.Writer) error { return p.Picture().Write(w) }

// Picture ends the gathering. It is called once.
func (p *Pictured) Picture() picture.Picture {
	until := p.sheet.To
	if a := p.sheet.Ahead; a != nil {
		until = a.From
	}
	p.hold(until)
	var all []cause
	for c := range p.why {
		all = append(all, c)
	}
	slices.SortFunc(all, func(a, b cause) int {
		if a.mode != b.mode {
			return int(a.mode - b.mode)
		}
		return int(a.reason - b.reason)
	})
	for _, c := range all {
		p.sheet.Why = append(p.sheet.Why, p.why[c])
	}
	return &p.sheet
}
