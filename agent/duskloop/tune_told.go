package main

import (
	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/picture"
	"duskloop/agent/tuning"
	"duskloop/sim/tune"
)

// mostTried are drawn as marks, the cheapest.
const mostTried = 150

// tradeOff draws what was tried: what the crop suffers over what the battery gives.
func tradeOff(b *tuning.Bench, f *config.File, x *tune.Found) *picture.Curves {
	unit, scale := agent.SquaredUnit(f.Site.Units)
	c := &picture.Curves{
		Title: "Crop against battery", Under: "a mark is a set of settings; down and left is better",
		X: picture.Axis{Name: "battery used", Unit: "kWh"}, Y: picture.Axis{Name: "below the crop's minimum", Unit: unit},
	}
	spot := func(t *tune.Tried) picture.Spot { return picture.Spot{X: t.Sum.Battery, Y: scale * t.Sum.Squared} }
	tried, today, best := picture.Curve{Name: "tried", Dots: true}, picture.Curve{Name: "today", Dots: true}, picture.Curve{Name: "better", Dots: true}
	for i := range x.Tried {
		t := &x.Tried[i]
		switch {
		case len(b.Changes(t.Set)) == 0:
			today.Points = append(today.Points, spot(t))
		case len(tried.Points) < mostTried && t.Cost < tune.Forbidden:
			tried.Points = append(tried.Points, spot(t))
		}
	}
	c.Lines = []picture.Curve{tried, today}
	if x.Best != nil {
		best.Points = []picture.Spot{spot(&x.Taken)}
		c.Lines = append(c.Lines, best)
	}
	return c
}

// tuned is what --json prints.
type tuned struct {
	Fitted  string            `json:"fitted,omitempty"` // the day of the fit
	Verdict string            `json:"verdict"`          // better, or why nothing is
	Changes map[string]string `json:"changes"`
	Months  []tunedMonth      `json:"months"`
	Effects []tunedEffect     `json:"effects"`
	Doubted [][2]float64      `json:"doubted_costs"`
	Tried   int               `json:"sets_tried"`
}

type tunedMonth struct {
	Name         string  `json:"name"`
	IdleK2h      float64 `json:"without_heat_k2h"`
	TodayK2h     float64 `json:"today_k2h"`
	ThenK2h      float64 `json:"better_k2h"`
	TodayBattery float64 `json:"today_battery_kwh"`
	ThenBattery  float64 `json:"better_battery_kwh"`
	TodayStarts  float64 `json:"today_starts"`
	ThenStarts   float64 `json:"better_starts"`
}

type tunedEffect struct {
	Key  string  `json:"key"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
	// Worth is null for a change that the others need to stand at all.
	Worth *float64 `json:"worth_k2h"`
	Low   float64  `json:"as_good_from"`
	High  float64  `json:"as_good_to"`
}

func told(b *tuning.Bench, f *config.File, x *tune.Found) tuned {
	out := tuned{Verdict: "better", Changes: map[string]string{}, Doubted: x.Doubted, Tried: len(x.Tried)}
	if f.Fitted != nil {
		out.Fitted = f.Fitted.Made.Format("2006-01-02")
	}
	if x.Best == nil {
		out.Verdict = x.Why
	} else {
		out.Changes = b.Changes(x.Best)
	}
	_, judged := b.Halves()
	for i, m := range judged {
		y := tunedMonth{Name: b.Name(m), IdleK2h: x.Idle[i].Squared, TodayK2h: x.Today[i].Squared, TodayBattery: x.Today[i].Battery, TodayStarts: x.Today[i].Starts}
		if x.Best != nil {
			y.ThenK2h, y.ThenBattery, y.ThenStarts = x.Then[i].Squared, x.Then[i].Battery, x.Then[i].Starts
		}
		out.Months = append(out.Months, y)
	}
	for _, e := range x.Effects {
		y := tunedEffect{Key: e.Key, From: e.From, To: e.To, Low: e.Low, High: e.High}
		if !e.Tied {
			y.Worth = &e.Worth
		}
		out.Effects = append(out.Effects, y)
	}
	return out
}
