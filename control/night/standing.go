package night

import (
	"errors"
	"math"
)

// Standing is what a Skill has found out so far, to be kept over a restart: bets that run
// and the forecast itself are not in it.
type Standing struct {
	Warmer, Weight [24]float64 // K and slots, by the hour of the day in UTC
	Off            [2]float64  // mean absolute errors, K: of the outlook, of the outside
	Bets           float64
	Outside        bool // it is believed
}

// ErrStanding is a Standing that cannot be.
var ErrStanding = errors.New("no standing of a forecast can be so")

// Standing of the skill.
func (s *Skill) Standing() Standing {
	return Standing{Warmer: s.warmer, Weight: s.weight, Off: s.mean, Bets: s.settled, Outside: s.outside}
}

// mostWarmer is the most that a greenhouse can be warmer than its outdoors, and the most
// that a forecast can be off, K. Our choice.
const mostWarmer = 80.0

// Resume takes up an earlier standing. The error says that it cannot be; nothing is taken
// up then.
func (s *Skill) Resume(t Standing) error {
	for h := range t.Warmer {
		if !(math.Abs(t.Warmer[h]) <= mostWarmer) || !(t.Weight[h] >= 0 && t.Weight[h] <= warmthHeld) {
			return ErrStanding
		}
	}
	for _, x := range t.Off {
		if !(x >= 0 && x <= mostWarmer) {
			return ErrStanding
		}
	}
	if !(t.Bets >= 0 && t.Bets <= aWeek) || t.Outside && t.Bets < enoughBets {
		return ErrStanding
	}
	s.warmer, s.weight, s.mean, s.settled, s.outside = t.Warmer, t.Weight, t.Off, t.Bets, t.Outside
	return nil
}

// Standing of the forecasts from outside.
func (m *Mind) Standing() Standing { return m.skill.Standing() }

// Resume takes up what an earlier mind found out of the forecasts from outside. The error
// says that it cannot be.
func (m *Mind) Resume(t Standing) error { return m.skill.Resume(t) }
