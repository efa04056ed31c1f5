package sizing

import (
	"fmt"

	"duskloop/agent/picture"
	"duskloop/sensors/quantity"
)

// shown is a temperature in the grower's unit, as a bare number.
func (t tongue) shown(c float64) float64 {
	if t.us() {
		return quantity.Celsius(c).Fahrenheit()
	}
	return c
}

func (t tongue) unit() string {
	if t.us() {
		return "°F"
	}
	return "°C"
}

// drawHeatUps is the tank through the three days, and through the clear one without loss.
func (w *Worksheet) drawHeatUps(t tongue) picture.Picture {
	c := &picture.Curves{
		Title: "The tank from sunrise", Under: "pump at rest (simulated)", X: picture.Axis{Name: "after sunrise", Unit: "h"},
		Y: picture.Axis{Name: "tank", Unit: t.unit()}, Rules: []picture.Rule{{Name: "timed to", Y: t.shown(w.Warm)}},
	}
	for i, h := range w.HeatUps {
		c.Lines = append(c.Lines, curve(h.Sky, h.Tank, t))
		if i == 0 {
			c.Lines = append(c.Lines, curve(h.Sky+", without loss", h.Lossless, t))
		}
	}
	return c
}

func curve(name string, tank []float64, t tongue) picture.Curve {
	c := picture.Curve{Name: name}
	for i, v := range tank {
		c.Points = append(c.Points, picture.Spot{X: float64(i*soakKeep) / 60, Y: t.shown(v)})
	}
	return c
}

// drawDays is the heat of the winter's days, sorted: how many bring at least so much.
func (w *Worksheet) drawDays(sorted []float64) picture.Picture {
	c := &picture.Curves{
		Title: "Heat into the tank by day", Under: "the winter's days, the best first (simulated)",
		X: picture.Axis{Name: "days that bring at least this", Unit: "% of days"}, Y: picture.Axis{Name: "heat", Unit: "Wh"},
	}
	line := picture.Curve{Name: "the element's heat"}
	for i := range sorted {
		line.Points = append(line.Points, picture.Spot{X: 100 * (float64(i) + 0.5) / float64(len(sorted)), Y: sorted[len(sorted)-1-i]})
	}
	c.Lines = []picture.Curve{line}
	return c
}

// drawLevers ranks the changes by what they take away of the cold that is left; nil
// where nothing could be taken away.
func (w *Worksheet) drawLevers() picture.Picture {
	b := &picture.Bars{Title: "What helps most", Under: "of the cold that is left, taken away (simulated)", Unit: "%"}
	add := func(x *Lever) {
		if x.Gain != nil {
			b.Rows = append(b.Rows, picture.Bar{Name: x.Name, Value: 100 * *x.Gain})
		}
	}
	if len(w.Together) > 0 {
		add(&w.Together[0])
	}
	for i := range w.Levers {
		add(&w.Levers[i])
	}
	if len(b.Rows) == 0 {
		return nil
	}
	return b
}

// drawBattery is the lowest charge of every day.
func (w *Worksheet) drawBattery() picture.Picture {
	line := picture.Curve{Name: "lowest of the day"}
	for i, v := range w.Battery.Lows {
		line.Points = append(line.Points, picture.Spot{X: float64(i), Y: 100 * v})
	}
	return &picture.Curves{
		Title: "Battery through the winter", Under: "(simulated)", X: picture.Axis{Name: "days since " + w.sketch.Over.Start.Add(w.sketch.Over.Offset).Format("2 January")},
		Y: picture.Axis{Name: "charge", Unit: "%"}, Lines: []picture.Curve{line},
		Rules: []picture.Rule{{Name: "reserve", Y: 100 * float64(w.sketch.File.Loop().Battery.Reserve)}},
	}
}

// Draw is the answer as a picture.
func (v *Varied) Draw(u quantity.Units) picture.Picture {
	t := tongue{u}
	unit, scale := "K²h", 1.0
	if t.us() {
		unit, scale = "°F²h", 3.24
	}
	line, dots := picture.Curve{Name: "cold left"}, picture.Curve{Name: "a winter each", Dots: true}
	for i := range v.Rows {
		at := picture.Spot{X: v.Rows[i].Value, Y: scale * v.Rows[i].Squared}
		line.Points, dots.Points = append(line.Points, at), append(dots.Points, at)
	}
	c := &picture.Curves{
		Title: "The winter by " + v.Key, Under: "squared degree-hours below the crop's minimum (simulated)",
		X: picture.Axis{Name: v.Key, Unit: v.Unit}, Y: picture.Axis{Name: "cold left", Unit: unit}, Lines: []picture.Curve{line, dots},
	}
	if v.NowAt != nil {
		c.Marked = v.NowAt
	}
	c.Says = fmt.Sprintf("%d winters, simulated.", len(v.Rows))
	return c
}
