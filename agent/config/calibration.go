package config

import (
	"fmt"
	"math"
	"strings"
	"time"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// Calibration is what a probe said in one bath or two, what was true there, and when
// that was found: "2026-10-03: 0.4 °C at 0 °C, 49.5 °C at 50 °C". Empty: none.
type Calibration struct {
	Date   time.Time
	Points []CalibrationPoint // one or two, the colder first
}

// CalibrationPoint is one bath.
type CalibrationPoint struct{ Said, True quantity.Celsius }

// Bounds of a calibration. A DS18B20 is good to 0.5 K from -10 to 85 °C and to 2 K over
// its whole range (its datasheet): what is off by more was the wrong bath or the wrong
// probe. The rest is chosen.
const (
	mostOff   = quantity.Kelvin(3)
	leastSpan = quantity.Kelvin(20)   // less, and the baths' own errors make the slope
	hottest   = quantity.Celsius(70)  // of a bath: hotter water is a danger and teaches nothing
	coldest   = quantity.Celsius(-20) // of a bath
)

// Set reads the text form.
func (c *Calibration) Set(text string) error {
	if text == "" {
		*c = Calibration{}
		return nil
	}
	date, baths, ok := strings.Cut(text, ":")
	day, err := time.Parse(time.DateOnly, strings.TrimSpace(date))
	if !ok || err != nil {
		return fmt.Errorf("write the day first, as 2026-10-03, and a colon")
	}
	next := Calibration{Date: day}
	for bath := range strings.SplitSeq(baths, ",") {
		var p CalibrationPoint
		said, right, ok := strings.Cut(bath, " at ")
		if !ok {
			return fmt.Errorf("write what the probe said and what was true, as 0.4 °C at 0 °C, not %q", strings.TrimSpace(bath))
		}
		if err := p.Said.Set(strings.TrimSpace(said)); err != nil {
			return err
		}
		if err := p.True.Set(strings.TrimSpace(right)); err != nil {
			return err
		}
		next.Points = append(next.Points, p)
	}
	if err := next.check(); err != nil {
		return err
	}
	*c = next
	return nil
}

// check finds what no careful calibration looks like.
func (c Calibration) check() error {
	if c.Date.Year() < 2000 {
		return fmt.Errorf("no probe of this kind was calibrated in %d", c.Date.Year())
	}
	if len(c.Points) > 2 {
		return fmt.Errorf("one bath or two, not %d", len(c.Points))
	}
	for _, p := range c.Points {
		switch {
		case !(p.True >= coldest && p.True <= hottest):
			return fmt.Errorf("a bath of %v is not within %v to %v; never calibrate in boiling water", p.True, coldest, hottest)
		case math.Abs(float64(p.off())) > float64(mostOff):
			return fmt.Errorf("off by %v at %v: more than %v is no such probe, or not that bath", p.off(), p.True, mostOff)
		}
	}
	if len(c.Points) == 2 && c.Points[1].True.Minus(c.Points[0].True) < leastSpan {
		return fmt.Errorf("the second bath must be at least %v warmer than the first", leastSpan)
	}
	return nil
}

func (p CalibrationPoint) off() quantity.Kelvin { return p.Said.Minus(p.True) }

// String is the text form.
func (c Calibration) String() string {
	if !c.Given() {
		return ""
	}
	baths := make([]string, len(c.Points))
	for i, p := range c.Points {
		baths[i] = fmt.Sprintf("%g °C at %g °C", float64(p.Said), float64(p.True))
	}
	return c.Date.Format(time.DateOnly) + ": " + strings.Join(baths, ", ")
}

// Given says whether there is one.
func (c Calibration) Given() bool { return len(c.Points) > 0 }

// Correct is the truth behind what the probe says: the one offset, or the straight line
// through both baths. Beyond the baths the nearer one's correction stays as it is, so
// that no slope grows into degrees on a hot tank; so it is never more than 3 K. Without
// a calibration it changes nothing.
func (c Calibration) Correct(said quantity.Celsius) quantity.Celsius {
	if !c.Given() {
		return said
	}
	return said.Plus(-c.off(said, c.Points[0].Said, c.Points[len(c.Points)-1].Said))
}

// Spoil is what the probe says where the truth is known: Correct turned round, for
// simulated probes.
func (c Calibration) Spoil(truth quantity.Celsius) quantity.Celsius {
	if !c.Given() {
		return truth
	}
	return truth.Plus(c.off(truth, c.Points[0].True, c.Points[len(c.Points)-1].True))
}

// off is the error at a temperature between those of the two baths.
func (c Calibration) off(at, first, last quantity.Celsius) quantity.Kelvin {
	low, high := c.Points[0].off(), c.Points[len(c.Points)-1].off()
	switch {
	case at <= first:
		return low
	case at >= last:
		return high
	}
	return low + quantity.Kelvin(at.Minus(first)/last.Minus(first))*(high-low)
}

// calibrationFields are one key for each place.
func calibrationFields() []field {
	var table []field
	for p := range control.Places {
		table = append(table, field{
			key: "calibration." + p.String(), about: "The " + p.String() + "'s probe.",
			at: words("as 2026-10-03: 0.4 °C at 0 °C, 49.5 °C at 50 °C", func(_ *File, l *Loop) *Calibration { return &l.Probes[p].Calibration }),
		})
	}
	return table
}

// calibratedNothing finds calibrations of places without a probe.
func calibratedNothing(l *Loop) Faults {
	var faults Faults
	for p := range control.Places {
		if x := l.Probes[p]; x.Calibration.Given() && x.ID == "" {
			faults = append(faults, Fault{Key: "calibration." + p.String(), Value: x.Calibration.String(), Problem: "the place has no probe"})
		}
	}
	return faults
}
