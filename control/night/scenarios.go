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
	var day meanDay
	day.of(o, now)
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
		if a, ok := o.withError(now, ahead, &day, p.day*slotsADay); ok {
			a.light(&o.memory.light, now)
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
	mean, _, _ := o.before(now - 1 - slotsADay)
	if anomaly = o.memory.house(now-1) - mean; !known(anomaly) {
		return math.NaN(), math.NaN()
	}
	got, could := 0.0, 0.0
	for k := int64(1); k <= slotsADay/2; k++ {
		if x := o.memory.sun(now - k); known(x) {
			_, _, bright := o.before(now - k - slotsADay)
			got, could = got+x, could+bright
		}
	}
	if could < 1 {
		return anomaly, 0.5
	}
	return anomaly, got / could
}

// withError is an outlook beside a mean day with the error that the outlook had so many
// slots ago.
func (o *Outlook) withError(now int64, ahead Ahead, day *meanDay, back int64) (Ahead, bool) {
	n := len(ahead.House)
	out, ok := o.unlit(now-back, n)
	if !ok {
		return Ahead{}, false
	}
	off, dim := 0.0, 0.0
	for k := range n {
		if x := o.memory.house(now - back + int64(k)); known(x) {
			off = x - out.House[k]
		}
		if x := o.memory.sun(now - back + int64(k)); known(x) {
			dim = x - out.Sun[k]
		}
		out.House[k] = ahead.House[k] + off
		out.Sun[k] = min(max(ahead.Sun[k]+dim, 0), max(ahead.Sun[k], day.bright[place(k)]))
	}
	return out, true
}
