package night

import "math"

// Skill holds a forecast from outside against the outlook, and lets the better one win.
// Four times a day it keeps what both say of the greenhouse's air in the 24 hours to come;
// a day later it sees who was nearer. The outside's outdoor air becomes the greenhouse's
// by what that was warmer on the days before, by the hour. The zero value trusts the
// outlook. It is not safe for concurrent use.
type Skill struct {
	latest  Forecast
	heard   bool
	warmer  [24]float64 // K, of the greenhouse, by the hour of the day
	weight  [24]float64
	bets    [betsHeld]bet
	mean    [2]float64 // mean absolute error: of the outlook, of the outside
	settled float64    // bets, forgotten like the means
	outside bool       // it is believed
}

// bet is what both say, hour by hour from a slot on; the outside's as far as it went.
type bet struct {
	from int64          // 0: none
	said [2][24]float64 // NaN where nothing was
}

// The two who foretell.
const (
	local = iota
	outer
)

// betEvery is how often a bet is laid, in slots, and betsHeld how many run at once. aWeek
// is how many bets are remembered; enoughBets how many must be settled before the outside
// is believed, and by what share it must be better to be believed, or worse not to be. All
// are our choices.
const (
	betEvery   = 36
	betsHeld   = 4
	aWeek      = 28.0
	enoughBets = 8.0
	better     = 0.95
	worse      = 1.05
	leastHours = 12 // of a bet
)

// Hear takes a forecast in; it stands until the next. The error says why it is refused.
func (s *Skill) Hear(f Forecast) error {
	if err := f.Validate(); err != nil {
		return err
	}
	s.latest, s.heard = f, true
	return nil
}

// Learn takes in that the slot before now is complete: it learns how much warmer the
// greenhouse is, settles the bet that has run out and lays another. Call it for each slot.
func (s *Skill) Learn(o *Outlook, now int64) {
	if !s.heard {
		return
	}
	s.compare(o, now-1)
	if now%betEvery != 0 {
		return
	}
	b := &s.bets[now/betEvery%betsHeld]
	if b.from > 0 && b.from == now-slotsADay {
		s.settle(o, b)
	}
	*b = s.lay(o, now)
}

// compare a slot's air with the latest forecast of it.
func (s *Skill) compare(o *Outlook, slot int64) {
	seen, ok := o.memory.Look(slot)
	told, has := s.latest.told(s.latest.Air, slot)
	if x := float64(seen.House); ok && has && known(x) {
		h := hourOf(slot)
		s.weight[h] = min(s.weight[h]+1, warmthHeld)
		s.warmer[h] += (x - told - s.warmer[h]) / s.weight[h]
	}
}

// warmthHeld is over how many slots of an hour its warmth is meant: a week. Our choice.
const warmthHeld = 42

// hourOf the day, 0 to 23, that a slot is in.
func hourOf(slot int64) int { return int((slot%slotsADay + slotsADay) % slotsADay / 6) }

// house is the greenhouse's air of a slot by the outside; not ok where that says nothing,
// or the warmth at that hour is not yet known.
func (s *Skill) house(slot int64) (x float64, ok bool) {
	told, ok := s.latest.told(s.latest.Air, slot)
	h := hourOf(slot)
	return told + s.warmer[h], ok && s.weight[h] > 0
}

// lay a bet.
func (s *Skill) lay(o *Outlook, now int64) (b bet) {
	a, ok := o.Ahead(now, slotsADay)
	if !ok {
		return b
	}
	for h := range b.said[local] {
		slot := now + int64(6*h+3)
		b.said[local][h], b.said[outer][h] = a.House[6*h+3], math.NaN()
		if x, ok := s.house(slot); ok {
			b.said[outer][h] = x
		}
	}
	b.from = now
	return b
}

// settle a bet that has run out.
func (s *Skill) settle(o *Outlook, b *bet) {
	var off [2]float64
	n := 0.0
	for h := range b.said[local] {
		seen, ok := o.memory.Look(b.from + int64(6*h+3))
		truth := float64(seen.House)
		if !ok || !known(truth) || !known(b.said[outer][h]) {
			continue
		}
		for who := range off {
			off[who] += math.Abs(b.said[who][h] - truth)
		}
		n++
	}
	if n < leastHours {
		return
	}
	s.settled = min(s.settled+1, aWeek)
	for who := range off {
		s.mean[who] += (off[who]/n - s.mean[who]) / s.settled
	}
	s.choose()
}

// choose who is believed.
func (s *Skill) choose() {
	switch {
	case s.settled < enoughBets:
		s.outside = false
	case s.mean[outer] < better*s.mean[local]:
		s.outside = true
	case s.mean[outer] > worse*s.mean[local]:
		s.outside = false
	}
}

// Best is an outlook from slot now on with the outside's air, and sun if it tells it, put
// in its place as far as they go, if the outside is believed; else the outlook as it is.
// What the outside is wrong by now fades over some hours.
func (s *Skill) Best(o *Outlook, now int64, a Ahead) (best Ahead, outside bool) {
	begins, covers := s.house(now)
	if !s.outside || !covers {
		return a, false
	}
	best = Ahead{House: append([]float64(nil), a.House...), Sun: append([]float64(nil), a.Sun...)}
	off := 0.0
	if seen, ok := o.memory.Look(now - 1); ok && known(float64(seen.House)) {
		off = float64(seen.House) - begins
	}
	for k := range best.House {
		slot := now + int64(k)
		if x, ok := s.house(slot); ok {
			best.House[k] = x + off*math.Exp(-float64(k)/fades)
		}
		if x, ok := s.latest.told(s.latest.Sun, slot); ok {
			best.Sun[k] = x
		}
	}
	best.light(&o.memory.light, now)
	return best, true
}

// fades is the time constant of that, in slots. Our choice.
const fades = 12.0

// Record of both: mean absolute errors of the greenhouse's air over the next 24 hours,
// over the last week or so, K, from so many bets.
func (s *Skill) Record() (outlook, outside float64, bets int) {
	return s.mean[local], s.mean[outer], int(s.settled)
}
