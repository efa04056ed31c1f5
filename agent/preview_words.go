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

// previewWords says what a change would have done, and how far that is to be believed: the same
// to the page, by MQTT and on the command line.
func previewWords(p *wire.Preview, u quantity.Units) string {
	if changesNothing(p) {
		return "This changes nothing: that is how it is set already."
	}
	if len(p.Nights) == 0 {
		return "What this would have done is not known: no night could be lived again. That takes one from noon to noon of which enough is recorded."
	}
	s := summed(p)
	return fmt.Sprintf("%s this would have %s. %s. %s. %s", s.over(p), s.warmth(u), s.cold(u), s.spent(u), s.trust(p, u))
}

// changesNothing says that all values are as they stand.
func changesNothing(p *wire.Preview) bool {
	return len(p.Changes) > 0 && !slices.ContainsFunc(p.Changes, func(c wire.SettingChange) bool { return c.From != c.To })
}

// told is by how much a coldest must change to be printed as another, K. Our choice.
const told = 0.05

// sums are a preview's nights together.
type sums struct {
	nights         int
	again, then    wire.PreviewNight // coldest of all, and K²h and Wh of all
	colder, warmer int               // nights whose coldest is
	down, up       float64           // K: by how much at most
	off            float64           // K: by how much a night's coldest is off the record at most
	spoiled        wire.PreviewNight // the one whose cold grows most
}

func summed(p *wire.Preview) (s sums) {
	s.again.AgainC, s.then.ThenC = math.Inf(1), math.Inf(1)
	for _, n := range p.Nights {
		s.nights++
		s.again.AgainC, s.then.ThenC = min(s.again.AgainC, n.AgainC), min(s.then.ThenC, n.ThenC)
		s.again.AgainK2h, s.then.ThenK2h = s.again.AgainK2h+n.AgainK2h, s.then.ThenK2h+n.ThenK2h
		s.again.AgainWh, s.then.ThenWh = s.again.AgainWh+n.AgainWh, s.then.ThenWh+n.ThenWh
		s.off = max(s.off, math.Abs(n.AgainC-n.RecordedC))
		if n.ThenK2h-n.AgainK2h > s.spoiled.ThenK2h-s.spoiled.AgainK2h {
			s.spoiled = n
		}
		switch d := n.ThenC - n.AgainC; {
		case d <= -told:
			s.colder, s.down = s.colder+1, max(s.down, -d)
		case d >= told:
			s.warmer, s.up = s.warmer+1, max(s.up, d)
		}
	}
	return s
}

// over are the nights of which it is said; those before the record began are none.
func (s *sums) over(p *wire.Preview) string {
	left := 0
	for i := range p.LeftOut {
		if !strings.HasPrefix(p.LeftOut[i].Why, unbegunRecord) {
			left++
		}
	}
	switch {
	case left > 0 && s.nights == 1:
		return fmt.Sprintf("In the one night of the last %d that could be lived again,", 1+left)
	case left > 0:
		return fmt.Sprintf("In the %d nights of the last %d that could be lived again,", s.nights, s.nights+left)
	case s.nights == 1:
		return "In the last whole night"
	}
	return fmt.Sprintf("In the last %d nights", s.nights)
}

// warmth says what the tunnel would have had of it: first the way that more nights go, or
// colder where the cold grew.
func (s *sums) warmth(u quantity.Units) string {
	if s.colder+s.warmer == 0 {
		return "left the coldest tunnel air as it was, to a tenth of a degree"
	}
	ways := []string{s.way("colder", s.colder, s.down, u), s.way("warmer", s.warmer, s.up, u)}
	if s.warmer > s.colder && s.colderBy(u) <= 0 {
		slices.Reverse(ways)
	}
	ways = slices.DeleteFunc(ways, func(way string) bool { return way == "" })
	return fmt.Sprintf("made the coldest tunnel air %s (the coldest of all %s in place of %s)",
		strings.Join(ways, ", and "), quantity.Celsius(s.then.ThenC).In(u), quantity.Celsius(s.again.AgainC).In(u))
}

// way is one way that nights go, and by how much; nothing where none does.
func (s *sums) way(name string, nights int, most float64, u quantity.Units) string {
	by := quantity.Kelvin(most).In(u)
	switch {
	case nights == 0:
		return ""
	case s.nights == 1:
		return name + " by " + by
	case nights == s.nights:
		return fmt.Sprintf("%s in every night, by up to %s", name, by)
	case nights == 1:
		return fmt.Sprintf("%s in one night, by %s", name, by)
	}
	return fmt.Sprintf("%s in %d nights, by up to %s", name, nights, by)
}

// colderBy is by how much the cold grew, as it is told.
func (s *sums) colderBy(u quantity.Units) float64 {
	_, scale := SquaredUnit(u)
	return math.Round(scale*s.then.ThenK2h) - math.Round(scale*s.again.AgainK2h)
}

// spent says what the battery would have had of it. Where that is spared and more cold comes,
// the one is the price of the other.
func (s *sums) spent(u quantity.Units) string {
	was, is := math.Round(s.again.AgainWh), math.Round(s.then.ThenWh)
	switch {
	case is > was:
		return fmt.Sprintf("It would have taken %.0f Wh more from the battery (%.0f in place of %.0f)", is-was, is, was)
	case is < was && s.colderBy(u) > 0:
		return fmt.Sprintf("At that price it would have spared %.0f Wh of the battery (%.0f in place of %.0f)", was-is, is, was)
	case is < was:
		return fmt.Sprintf("It would have spared %.0f Wh of the battery (%.0f in place of %.0f)", was-is, is, was)
	}
	return fmt.Sprintf("It would have taken as much from the battery (%.0f Wh)", was)
}

// trust says how far to believe it. The replay errs with the change as without, so that the two
// are compared with each other and not with the record; and what a change does to the coldest is
// held against the replay's error there, not against that of the whole night, most of which is
// the afternoon's sun.
func (s *sums) trust(p *wire.Preview, u quantity.Units) string {
	text := fmt.Sprintf("The replay is off the record by %s over the whole night and by up to %s at its coldest; it errs alike with the change and without, so compare those two.",
		quantity.Kelvin(*p.OffK).In(u), quantity.Kelvin(s.off).In(u))
	switch most := max(s.down, s.up); {
	case most == 0 || most > s.off:
		return text
	case max(s.colder, s.warmer)*2 > s.nights && min(s.colder, s.warmer) == 0:
		return text + " No night's coldest changes by more than that: the direction is likely, the amount unsure."
	}
	return text + " No night's coldest changes by more than that, and they go both ways or few go any: of the coldest this tells little."
}
