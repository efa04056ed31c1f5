package main

import (
	"fmt"
	"strings"

	"duskloop/agent/picture"
	"duskloop/sensors/quantity"
)

// mostDrawn is how many runs can be told apart in one picture.
const mostDrawn = 6

// draw writes all runs into one picture.
func (c *trialShown) draw(all []judged, u quantity.Units) error {
	if len(all) > mostDrawn {
		return misuse("--svg: %d runs, %d can be told apart in one picture", len(all), mostDrawn)
	}
	file, err := replace(c.SVG)
	if err != nil {
		return err
	}
	return file.finish(trialCurves(all, u).Write)
}

// hourly is from when on runs are drawn over hours, not minutes.
const hourly = 3 * 3600.0

// trialCurves are readings as dots and what was fitted as lines, over the time since each
// run's first reading.
func trialCurves(all []judged, u quantity.Units) *picture.Curves {
	c := &picture.Curves{
		Title: "Bench runs", Under: "marks: readings, where many some of them; lines: fitted",
		X: picture.Axis{Name: "time since the start", Unit: "min"}, Y: picture.Axis{Name: "liquid", Unit: "°C"},
	}
	if u == quantity.US {
		c.Y.Unit = "°F"
	}
	longest, each := 0.0, 60.0
	for i := range all {
		longest = max(longest, all[i].lasted())
	}
	if longest > hourly {
		c.X.Unit, each = "h", 3600
	}
	var says []string
	for i := range all {
		j := &all[i]
		c.Lines = append(c.Lines, j.dots(each, u), j.line(each, u))
		says = append(says, fmt.Sprintf("%s: %.1f W into the liquid%s, standing loss %s, over %s %s.",
			j.run.Name, j.Power, atFull(j), lossWords(j, u), digits(j.lasted()/each), c.X.Unit))
	}
	c.Says = "The liquid's temperature over time, as read and as fitted. " + strings.Join(says, " ")
	return c
}

// lasted is how long the run was, s.
func (j *judged) lasted() float64 { return j.run.Readings[len(j.run.Readings)-1].At }

// mostMarks of a run's readings are drawn, evenly chosen: more would hide the curve.
const mostMarks = 24

// dots are readings, each so many seconds long along x.
func (j *judged) dots(each float64, u quantity.Units) picture.Curve {
	c := picture.Curve{Name: j.run.Name, Dots: true}
	every := (len(j.run.Readings) + mostMarks - 1) / mostMarks
	for i := 0; i < len(j.run.Readings); i += every {
		x := j.run.Readings[i]
		c.Points = append(c.Points, picture.Spot{X: x.At / each, Y: shownDegrees(x.Liquid, u)})
	}
	return c
}

// line is the curve that was fitted.
func (j *judged) line(each float64, u quantity.Units) picture.Curve {
	c := picture.Curve{Name: j.run.Name + ", fitted"}
	for i, v := range j.Curve(&j.run) {
		c.Points = append(c.Points, picture.Spot{X: j.run.Readings[i].At / each, Y: shownDegrees(v, u)})
	}
	return c
}

func shownDegrees(c float64, u quantity.Units) float64 {
	if u == quantity.US {
		return quantity.Celsius(c).Fahrenheit()
	}
	return c
}
