package picture

import (
	"encoding/json"
	"math"
	"time"
)

// fingered is a line for a script that reads values off a picture: minutes since the
// picture's beginning, each with its value.
type fingered struct {
	Name string       `json:"name"`
	Unit string       `json:"unit"`
	At   [][2]float64 `json:"at"`
}

// fingerEvery is how often a value is told at most.
const fingerEvery = 10 * time.Minute

// finger tells, in attributes of the picture, its frame and its lines' values, where that
// is asked for.
func (p *page) finger() {
	if !p.Finger || p.Daily() {
		return
	}
	unit := p.unit()
	all := []fingered{p.fingered(p.Tank, p.Ahead.tank(), unit, p.degrees)}
	for i, t := range p.Air {
		all = append(all, p.fingered(t, p.Ahead.air(i), unit, p.degrees))
	}
	if p.Charge != nil {
		all = append(all, p.fingered(p.Charge, p.Ahead.charge(), "%", percent))
	}
	text, err := json.Marshal(all)
	if err != nil {
		return // plain finite numbers
	}
	_, offset := p.From.Zone()
	if p.Ahead != nil {
		p.root.set("data-now", p.Ahead.From.UTC().Format(time.RFC3339))
	}
	p.root.set("data-from", p.From.UTC().Format(time.RFC3339), "data-to", p.To.UTC().Format(time.RFC3339),
		"data-left", num(p.left), "data-right", num(p.right), "data-offset", num(float64(offset)/60), "data-lines", string(text))
}

// fingered is a trace's past and what is expected after it.
func (p *page) fingered(past, ahead *Trace, unit string, in func(float64) float64) fingered {
	var f fingered
	for _, t := range []*Trace{past, ahead} {
		if !t.Known() {
			continue
		}
		f.Name, f.Unit = t.Name, unit
		last := math.Inf(-1)
		for _, run := range t.runs() {
			for _, x := range run {
				if m := x.At.Sub(p.From).Minutes(); m >= last+fingerEvery.Minutes() {
					f.At, last = append(f.At, [2]float64{math.Round(m), math.Round(10*in(x.V)) / 10}), m
				}
			}
		}
	}
	return f
}
