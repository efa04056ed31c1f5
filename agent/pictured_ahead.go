package agent

import (
	"time"

	"duskloop/agent/picture"
	"duskloop/control"
	"duskloop/control/night"
)

// Finger lets values be read off the picture in a page.
func (p *Pictured) Finger() { p.sheet.Finger = true }

// Expect draws what is expected after a time: by the plan, and for as long as no heat can
// come by the outlook without it.
func (p *Pictured) Expect(from time.Time, f *control.Facts) {
	a := &picture.Ahead{From: from, Tank: picture.NewTrace(p.sheet.Frame, "tank"), Charge: picture.NewTrace(p.sheet.Frame, "battery"), Pump: picture.NewLane(p.sheet.Frame, "pump, expected", "")}
	a.Air = []*picture.Trace{picture.NewTrace(p.sheet.Frame, "tunnel"), picture.NewTrace(p.sheet.Frame, "greenhouse")}
	p.sheet.Ahead = a
	if f.Tonight.Course == nil {
		return
	}
	b := f.Barred
	end, ends := b.End(from)
	if b.By != control.NotBarred {
		a.Without = b.Words(from, p.sheet.From.Location())
		a.Whole = b.Whole(&f.Tonight, from)
	}
	for _, x := range *f.Tonight.Course {
		switch {
		case !x.At.After(from):
		case a.Without != "" && (a.Whole || !ends || !x.At.After(end)):
			expectUnheated(a, &x)
		default:
			expectPlanned(a, &x)
		}
	}
}

func expectUnheated(a *picture.Ahead, x *night.Expected) {
	u := &x.Unheated
	a.Tank.Add(x.At, u.Tank, 0)
	a.Air[0].Add(x.At, u.Air, max(u.High-u.Air, u.Air-u.Low))
	a.Air[1].Add(x.At, x.House, 0)
	a.Charge.Add(x.At, u.Charge, 0)
}

func expectPlanned(a *picture.Ahead, x *night.Expected) {
	a.Tank.Add(x.At, x.Tank, 0)
	a.Air[0].Add(x.At, x.Air, max(x.High-x.Air, x.Air-x.Low))
	a.Air[1].Add(x.At, x.House, 0)
	a.Charge.Add(x.At, x.Charge, 0)
	if x.Duty > leastDuty {
		end := x.At.Add(time.Duration(-float64(night.Step)*(1-x.Duty)) * time.Second)
		a.Pump.Hold(x.At.Add(-night.Step*time.Second), end)
	}
}

// leastDuty is the least share of a slot that is drawn as a run.
const leastDuty = 0.05
