package sizing

import (
	"fmt"
	"math"
	"strings"

	"duskloop/sensors/quantity"
)

// Section is a part of the worksheet in words and figures, in the grower's units.
type Section struct {
	ID    string // a word for links
	Title string
	Says  []string // paragraphs
	Head  []string // of the table; the first column is the row's name
	Rows  [][]string
	After []string // paragraphs below the table
}

// tongue speaks the grower's units.
type tongue struct{ u quantity.Units }

func (t tongue) us() bool { return t.u == quantity.US }

// temp is a temperature, to a tenth in °C and a degree in °F.
func (t tongue) temp(c float64) string {
	if t.us() {
		return whole(quantity.Celsius(c).Fahrenheit()) + " °F"
	}
	return strings.Replace(fmt.Sprintf("%.1f °C", c), "-0.0", "0.0", 1)
}

// whole is a number without decimals, and without a minus before a nought.
func whole(v float64) string { return fmt.Sprintf("%.0f", math.Round(v)+0) }

func (t tongue) diff(k float64) string { return quantity.Kelvin(k).In(t.u) }

// squared are squared degree-hours.
func (t tongue) squared(k2h float64) string {
	if t.us() {
		return fmt.Sprintf("%s °F²h", grouped(3.24*k2h))
	}
	return grouped(k2h) + " K²h"
}

// btu is a watt in Btu/h, and a watt-hour in Btu (International Table, NIST SP 811 B.8).
const btu = 1 / 0.29307107

// heat is an amount of it.
func (t tongue) heat(wh float64) string {
	if t.us() {
		return fmt.Sprintf("%s Btu (%s)", grouped(round2(wh*btu)), wattHours(wh))
	}
	return wattHours(wh)
}

func wattHours(wh float64) string {
	if math.Abs(wh) >= 9950 {
		return fmt.Sprintf("%.3g kWh", wh/1000)
	}
	return grouped(round2(wh)) + " Wh"
}

// flow of heat.
func (t tongue) flow(w float64) string {
	if t.us() {
		return fmt.Sprintf("%s Btu/h (%s W)", grouped(round2(w*btu)), grouped(round2(w)))
	}
	return grouped(round2(w)) + " W"
}

// perDegree is a conductance.
func (t tongue) perDegree(w float64) string {
	if t.us() {
		return fmt.Sprintf("%.1f Btu/h a °F", w*btu/1.8)
	}
	return fmt.Sprintf("%.1f W/K", w)
}

func (t tongue) litres(l float64) string {
	v := quantity.Litre(l)
	if t.us() && l < 0.95 {
		return fmt.Sprintf("%.1f cups", l/0.2365882365)
	}
	if t.us() {
		return fmt.Sprintf("%.1f gal", l/3.785411784)
	}
	if l < 1 {
		return fmt.Sprintf("%.2f L", float64(v))
	}
	return fmt.Sprintf("%.1f L", float64(v))
}

func (t tongue) length(m float64) string {
	if t.us() {
		return fmt.Sprintf("%.0f ft", m/0.3048)
	}
	return fmt.Sprintf("%.1f m", m)
}

// section is a wire's cross-section, as told or, with more, at least so much; in the US by
// its gauge (quantity.SquareMillimetre.Set).
func (t tongue) section(mm2 float64, more bool) string {
	metric := fmt.Sprintf("%.3g mm²", mm2)
	if !t.us() {
		return metric
	}
	gauge := 36 - 39*math.Log(math.Sqrt(4/math.Pi*mm2)/0.127)/math.Log(92)
	n := math.Round(gauge)
	if more {
		n = math.Floor(gauge)
	}
	if n < 0 {
		return metric
	}
	return fmt.Sprintf("%.0f AWG (%s)", n, metric)
}

// sun on a plane in a day.
func (t tongue) sun(kwh float64) string { return fmt.Sprintf("%.1f kWh/m²", kwh) }

// round2 keeps some two digits: a sum that is known no better.
func round2(v float64) float64 {
	if math.Abs(v) < 100 {
		return math.Round(v)
	}
	p := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-2)
	return math.Round(v/p) * p
}

// grouped is a whole number with its thousands set apart.
func grouped(v float64) string {
	s := fmt.Sprintf("%.0f", math.Abs(v))
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	if v < 0 && strings.Trim(s, "0,") != "" {
		s = "-" + s
	}
	return s
}

// hours as a clock would count them.
func hours(h float64) string {
	switch {
	case h == 0:
		return "none"
	case h < 1:
		return fmt.Sprintf("%.0f min", 60*h)
	case h >= 100:
		return grouped(h) + " h"
	}
	return fmt.Sprintf("%.1f h", h)
}

// orNever is hours, or a word where there are none.
func orNever(h *float64, never string) string {
	if h == nil {
		return never
	}
	return hours(*h)
}

// portion is a share in words that can be read aloud.
func portion(share float64) string {
	switch {
	case share >= 0.97:
		return "nearly all"
	case share < 0.005:
		return "next to nothing"
	}
	for _, x := range []struct {
		of   float64
		name string
	}{{0.1, "a tenth"}, {0.2, "a fifth"}, {0.25, "a quarter"}, {1. / 3, "a third"}, {0.5, "half"}, {2. / 3, "two thirds"}, {0.75, "three quarters"}} {
		if math.Abs(share-x.of) < 0.02 {
			return "about " + x.name
		}
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

func percent(share float64) string { return whole(100*share) + " %" }

// list joins names as a sentence does.
func list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], "; ") + "; and " + names[len(names)-1]
}

// sentence begins with a capital and ends with a stop.
func sentence(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + strings.TrimSuffix(text[1:], ".") + "."
}
