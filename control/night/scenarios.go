package night

import (
	"math"
	"slices"
)

// pasts is how many days back a scenario is sought.
const pasts = 19

// past is a day whose outlook at this time of day can be held against what came.
type past struct {
	day   int64
	apart float64 // from today
}

// scenarios are an outlook with the errors of so many earlier days' outlooks at the
// same time of day, those whose weather was then most like today's; the outlook itself
// where fewer than three days are remembered.
func (o *Outlook) scenarios(now int64, ahead Ahead, count int) []Ahead {
	if count <= 1 {
		return []Ahead{ahead}
	}
	anomaly, share := o.weatherOf(now)
	var like []past
	n := int64(len(ahead.House))
	for d := (n + slotsADay - 1) / slotsADay; d <= pasts; d++ {
		a, s := o.weatherOf(now - d*slotsADay)
		apart := math.Abs(a-anomaly)/4 + math.Abs(s-share)/0.4 + 0.02*float64(d)
		if known(apart) {
			like = append(like, past{d, apart})
		}
	}
	slices.SortFunc(like, func(a, b past) int {
		if a.apart < b.apart {
			return -1
		}
		return 1
	})
	var all []Ahead
	for _, p := range like {
		if a, ok := o.withError(now, ahead, p.day*slotsADay); ok {
			all = append(all, a)
		}
		if len(all) == count {
			break
		}
	}
	if len(all) < 3 {
		return []Ahead{ahead}
	}
	return all
}

// weatherOf a slot: how much warmer than the mean day it is, and how clear the day has
// been; NaN where not known.
func (o *Outlook) weatherOf(now int64) (anomaly, share float64) {
	s, ok := o.memory.Look(now - 1)
	mean, had := o.meanDay(now-1, now-1, house)
	if !ok || !had {
		return math.NaN(), math.NaN()
	}
	got, could := 0.0, 0.0
	for k := int64(1); k <= slotsADay/2; k++ {
		if s, ok := o.memory.Look(now - k); ok && known(float64(s.Sun)) {
			got, could = got+float64(s.Sun), could+o.brightest(now-k, now-k)
		}
	}
	if could < 1 {
		return float64(s.House) - mean, 0.5
	}
	return float64(s.House) - mean, got / could
}

// withError is an outlook with the error that the outlook had so many slots ago.
func (o *Outlook) withError(now int64, ahead Ahead, back int64) (Ahead, bool) {
	n := len(ahead.House)
	said, ok := o.Ahead(now-back, n)
	if !ok {
		return Ahead{}, false
	}
	out := Ahead{House: make([]float64, n), Sun: make([]float64, n)}
	off, dim := 0.0, 0.0
	for k := range n {
		s, ok := o.memory.Look(now - back + int64(k))
		if ok && known(float64(s.House)) {
			off = float64(s.House) - said.House[k]
		}
		if ok && known(float64(s.Sun)) {
			dim = float64(s.Sun) - said.Sun[k]
		}
		out.House[k] = ahead.House[k] + off
		out.Sun[k] = min(max(ahead.Sun[k]+dim, 0), max(ahead.Sun[k], o.brightest(now+int64(k), now)))
	}
	return out, true
}
