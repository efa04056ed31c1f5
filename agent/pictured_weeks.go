package agent

import (
	"time"

	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/picture"
	"duskloop/agent/record"
	"duskloop/control"
)

// nightsAPicture are drawn in one.
const nightsAPicture = 7

// PicturedNights gathers readings of nights into pictures of a week each.
type PicturedNights struct {
	file   *config.File
	zone   *time.Location
	gap    time.Duration
	nights map[int64]*gatheredNight // by their noon
}

// gatheredNight is a night on its way.
type gatheredNight struct {
	picture.WeekNight
	last record.Reading
}

// NewPicturedNights has none yet. usual is the time between readings.
func NewPicturedNights(f *config.File, zone *time.Location, usual time.Duration) *PicturedNights {
	return &PicturedNights{file: f, zone: zone, gap: 3 * max(usual, time.Second), nights: make(map[int64]*gatheredNight)}
}

// at is the night between two noons.
func (p *PicturedNights) at(from, to time.Time) (*gatheredNight, error) {
	if n := p.nights[from.Unix()]; n != nil {
		return n, nil
	}
	frame, err := picture.NewFrame(from.In(p.zone), to)
	if err != nil {
		return nil, err
	}
	n := &gatheredNight{WeekNight: picture.WeekNight{
		Frame: frame, Tunnel: picture.NewTrace(frame, "tunnel"), Pump: picture.NewLane(frame, "pump", ""),
		Silent: picture.NewLane(frame, "no record", ""), Dark: nights(p.file, frame.From, frame.To),
	}}
	p.nights[from.Unix()] = n
	return n, nil
}

// Add takes a reading of a night.
func (p *PicturedNights) Add(r nightly.Rules, x *record.Reading) {
	n, err := p.at(r.From, r.To)
	if err != nil { // a day is long enough to be drawn
		return
	}
	n.hold(x.At, p.gap)
	if v := x.Places[control.Tunnel]; v.OK && v.Age <= p.gap {
		n.Tunnel.Add(x.At, v.V, 0)
	} else {
		n.Tunnel.Break()
	}
	n.last = *x
}

// hold lets the last reading hold up to the next one; over a gap for a third of one.
func (n *gatheredNight) hold(next time.Time, gap time.Duration) {
	from, until := n.last.At, next
	if from.IsZero() {
		from, until = n.From, n.From
	} else if next.Sub(from) > gap {
		until = from.Add(gap / 3)
	}
	if next.Sub(from) > gap {
		n.Silent.Hold(until, next)
		n.Tunnel.Break()
	}
	if n.last.Outputs.Pump > 0 {
		n.Pump.Hold(from, until)
	}
}

// Weeks ends the gathering: a picture for every seven of the nights.
func (p *PicturedNights) Weeks(all []nightly.Night, now time.Time) (weeks []*picture.Week, err error) {
	words := nightly.Printer{Units: p.file.Site.Units, Zone: p.zone}
	for i := range all {
		n := &all[i]
		g, err := p.at(n.From, n.To)
		if err != nil {
			return nil, err
		}
		until := n.To
		if now.Before(until) {
			until = now
		}
		g.hold(until, p.gap)
		g.Name, g.Says, g.Minimum = words.Name(n), words.Says(n), n.MinimumC
		if e := n.Expected; e != nil && e.ColdestC != nil && e.ColdestAt != nil {
			g.Foretold = &picture.Point{At: *e.ColdestAt, V: *e.ColdestC}
		}
		if i%nightsAPicture == 0 {
			weeks = append(weeks, &picture.Week{Place: string(p.file.Site.Name), Loop: n.Loop, Units: p.file.Site.Units})
		}
		w := weeks[len(weeks)-1]
		w.Simulated = w.Simulated || n.Simulated
		w.Nights = append(w.Nights, g.WeekNight)
	}
	return weeks, nil
}
