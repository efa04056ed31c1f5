package agent

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// faultsText is faults on a line, each by its key.
func faultsText(faults map[string]string) string {
	var parts []string
	for key, problem := range faults {
		parts = append(parts, key+": "+problem)
	}
	slices.Sort(parts)
	return strings.Join(parts, "; ")
}

// previewWords says what a change would have done, in one sentence, and how far that is to
// be believed.
func previewWords(p *wire.Preview, u quantity.Units) string {
	if len(p.Nights) == 0 {
		return "No night is recorded that could be lived again: what this would have done is not known."
	}
	s := summed(p)
	over := fmt.Sprintf("In the last %d nights", s.nights)
	if left := len(p.LeftOut); left > 0 {
		over = fmt.Sprintf("In %d of the last %d nights", s.nights, s.nights+left)
	} else if s.nights == 1 {
		over = "In the last whole night"
	}
	return fmt.Sprintf("%s this would have %s and %s%s. The replay is off the record by %s: do not believe finer differences.",
		over, s.warmth(p, u), s.spent(), s.cold(u), quantity.Kelvin(*p.OffK).In(u))
}

// sums are a preview's nights together.
type sums struct {
	nights      int
	again, then wire.PreviewNight // coldest of all, and K²h and Wh of all
	most        float64           // K: by how much a night's coldest changes at most, with its sign
}

func summed(p *wire.Preview) (s sums) {
	s.again.AgainC, s.then.ThenC = math.Inf(1), math.Inf(1)
	for _, n := range p.Nights {
		s.nights++
		s.again.AgainC, s.then.ThenC = min(s.again.AgainC, n.AgainC), min(s.then.ThenC, n.ThenC)
		s.again.AgainK2h, s.then.ThenK2h = s.again.AgainK2h+n.AgainK2h, s.then.ThenK2h+n.ThenK2h
		s.again.AgainWh, s.then.ThenWh = s.again.AgainWh+n.AgainWh, s.then.ThenWh+n.ThenWh
		if d := n.ThenC - n.AgainC; math.Abs(d) > math.Abs(s.most) {
			s.most = d
		}
	}
	return s
}

// warmth says what the tunnel would have had of it; less than the replay's own error is no
// difference.
func (s *sums) warmth(p *wire.Preview, u quantity.Units) string {
	if math.Abs(s.most) <= *p.OffK {
		return "changed no night's coldest tunnel air by more than the replay can tell"
	}
	way := "warmer"
	if s.most < 0 {
		way = "colder"
	}
	return fmt.Sprintf("made a night's coldest tunnel air up to %s %s (the coldest of all %s in place of %s)",
		quantity.Kelvin(math.Abs(s.most)).In(u), way, quantity.Celsius(s.then.ThenC).In(u), quantity.Celsius(s.again.AgainC).In(u))
}

// spent says what the battery would have had of it.
func (s *sums) spent() string {
	was, is := math.Round(s.again.AgainWh), math.Round(s.then.ThenWh)
	switch {
	case is > was:
		return fmt.Sprintf("taken %.0f Wh more from the battery (%.0f in place of %.0f)", is-was, is, was)
	case is < was:
		return fmt.Sprintf("spared %.0f Wh of the battery (%.0f in place of %.0f)", was-is, is, was)
	}
	return fmt.Sprintf("taken as much from the battery (%.0f Wh)", was)
}

// cold says what became of the cold below the crop's minimum.
func (s *sums) cold(u quantity.Units) string {
	unit, scale := SquaredUnit(u)
	was, is := math.Round(scale*s.again.AgainK2h), math.Round(scale*s.then.ThenK2h)
	if was == 0 && is == 0 {
		return "; the crop's minimum was kept either way"
	}
	return fmt.Sprintf("; below the crop's minimum %.0f %s in place of %.0f", is, unit, was)
}

// SquaredUnit is the unit of squared degree-hours in the grower's units, and how many of it a
// K²h is.
func SquaredUnit(u quantity.Units) (unit string, scale float64) {
	if u == quantity.US {
		return "°F²h", 3.24
	}
	return "K²h", 1
}

// leftOutWords name the nights that were not lived again, a sentence for each reason.
func leftOutWords(p *wire.Preview) (all []string) {
	var nights []string
	for i, n := range p.LeftOut {
		nights = append(nights, n.Night)
		if i+1 == len(p.LeftOut) || p.LeftOut[i+1].Why != n.Why {
			all = append(all, fmt.Sprintf("Left out: %s: %s.", strings.Join(nights, ", "), n.Why))
			nights = nil
		}
	}
	return all
}
