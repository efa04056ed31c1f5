package agent

import (
	"fmt"
	"math"
	"strings"
	"time"

	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// cold says what became of the cold below the crop's minimum, of all nights and of the one in
// which it grew most: a sum that falls may hide a night that was spoiled.
func (s *sums) cold(u quantity.Units) string {
	unit, scale := SquaredUnit(u)
	was, is := math.Round(scale*s.again.AgainK2h), math.Round(scale*s.then.ThenK2h)
	const subject = "Cold below the crop's minimum as it stands would have "
	switch {
	case was == 0 && is == 0:
		return "The crop's minimum as it stands would have been kept either way"
	case was == is:
		return fmt.Sprintf("%sbeen as much: %.0f %s%s", subject, is, unit, s.worst("but ", scale))
	case was == 0:
		return fmt.Sprintf("%scome where none did: %.0f %s%s", subject, is, unit, s.worst("", scale))
	case is > was:
		return fmt.Sprintf("%sgrown by %s, to %.0f %s from %.0f%s", subject, percent(is/was-1), is, unit, was, s.worst("", scale))
	}
	return fmt.Sprintf("%sfallen by %s, to %.0f %s from %.0f%s", subject, percent(1-is/was), is, unit, was, s.worst("but ", scale))
}

func percent(share float64) string {
	if p := math.Round(100 * share); p >= 1 {
		return fmt.Sprintf("%.0f %%", p)
	}
	return "under 1 %"
}

// muchWorse is by what share a night's cold must grow to be told of. Our choice.
const muchWorse = 0.05

// worst is the night in which the cold grew most, where there is such among others.
func (s *sums) worst(but string, scale float64) string {
	was, is := math.Round(scale*s.spoiled.AgainK2h), math.Round(scale*s.spoiled.ThenK2h)
	if s.nights == 1 || is-was < max(1, muchWorse*was) {
		return ""
	}
	verb := "most"
	if but != "" {
		verb = "grown"
	}
	return fmt.Sprintf("; %s%s in the night of %s, to %.0f from %.0f", but, verb, dayOf(s.spoiled.Night), is, was)
}

// SquaredUnit is the unit of squared degree-hours in the grower's units, and how many of it a
// K²h is.
func SquaredUnit(u quantity.Units) (unit string, scale float64) {
	if u == quantity.US {
		return "°F²h", 3.24
	}
	return "K²h", 1
}

// dayOf a date, as Thu 15 Jan.
func dayOf(date string) string {
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		return t.Format("Mon 2 Jan")
	}
	return date
}

// LeftOutWords name the nights of a preview that were not lived again, a sentence for each reason.
func LeftOutWords(p *wire.Preview) (all []string) {
	for left := p.LeftOut; len(left) > 0; {
		n := 1
		for n < len(left) && left[n].Why == left[0].Why {
			n++
		}
		all, left = append(all, fmt.Sprintf("Left out: %s: %s.", daysOf(left[:n]), left[0].Why)), left[n:]
	}
	return all
}

// daysOf nights, as from one to another where they follow each other.
func daysOf(nights []wire.LeftOut) string {
	var days []string
	follow := len(nights) > 2
	for i := range nights {
		days = append(days, dayOf(nights[i].Night))
		if i > 0 {
			passed := nights[i].Noon.Sub(nights[i-1].Noon)
			follow = follow && passed > 0 && passed < 36*time.Hour
		}
	}
	if follow {
		return days[0] + " to " + days[len(days)-1]
	}
	return strings.Join(days, ", ")
}
