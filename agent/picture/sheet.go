package picture

import (
	"errors"
	"fmt"
	"io"
	"time"

	"duskloop/sensors/quantity"
)

// Sheet is everything that a picture shows. Temperatures are in °C and shares 0 to
// 1; they are drawn in the grower's units and in per cent.
type Sheet struct {
	Frame
	Place     string // what the grower calls it; may be empty
	Loop      string
	Simulated bool
	Units     quantity.Units
	Half      bool // times of day by a 12-hour clock

	Tank    *Trace   // has a panel of its own; nil: none
	Air     []*Trace // the crop's place first; at most four
	Charge  *Trace   // with its band; nil: none
	Minimum Level    // of the crop
	Reserve *Trace   // of the battery, as it stood; nil: not known

	Ran    []*Lane // what was switched on
	Why    []*Lane // modes and reasons, those that occurred
	Silent *Lane   // when nothing was recorded; nil: not asked
	Hours  *Field  // at which hours the first of Ran ran

	Ahead  *Ahead // what is expected yet; nil: nothing. Not drawn by days
	Narrow bool   // for a small telephone; not where pictures stand beside each other
	Finger bool   // values can be read off it in a page (see finger)

	Nights      []Night
	NightsKnown bool // false: where the sun stood is not known, and nothing is claimed
}

// Night is from sunset to sunrise.
type Night struct{ Set, Rise time.Time }

// Level is a limit over time: each step holds until the next. None is not drawn.
type Level []Step

// Step is a limit from a time on.
type Step struct {
	From time.Time
	V    float64
}

// ErrNothing says that there is nothing to draw.
var ErrNothing = errors.New("nothing is known that could be drawn")

// Write writes the picture.
func (s *Sheet) Write(w io.Writer) error { return asFile(w, s) }

func (s *Sheet) drawn() (*canvas, error) {
	if !s.any() {
		return nil, ErrNothing
	}
	p := newPage(s)
	p.header()
	if s.Daily() {
		p.strips()
	} else {
		p.panels()
	}
	p.axis()
	p.hours()
	p.ribbon()
	p.axis()
	p.footer()
	p.finger()
	return p.done(), nil
}

// any says whether anything was given at all.
func (s *Sheet) any() bool {
	for _, t := range s.traces() {
		if t.Known() {
			return true
		}
	}
	for _, l := range append(s.Ran, s.Why...) {
		if l.total > 0 {
			return true
		}
	}
	return false
}

// traces of the past.
func (s *Sheet) traces() []*Trace { return append([]*Trace{s.Tank, s.Charge}, s.Air...) }

// degrees is a temperature in the grower's unit.
func (s *Sheet) degrees(c float64) float64 {
	if s.Units == quantity.US {
		return quantity.Celsius(c).Fahrenheit()
	}
	return c
}

// unit is the sign of the grower's temperatures.
func (s *Sheet) unit() string {
	if s.Units == quantity.US {
		return "°F"
	}
	return "°C"
}

func percent(v float64) float64 { return 100 * v }

// said is a temperature in words.
func (s *Sheet) said(c float64) string { return quantity.Celsius(c).In(s.Units) }

func saidPercent(v float64) string { return fmt.Sprintf("%.0f %%", percent(v)) }
