package night

import "math"

// fade is the weight of a day in the mean day, per day of its age; lookBack how many
// days it spans and brightBack over how many the brightest sun is sought.
const (
	fade       = 0.75
	lookBack   = 10
	brightBack = 12
)

// Clear says how strong the sun is in a cloudless sky, as a share, by the time of day
// in slots; the outlook of a first day rests on it.
type Clear func(slot int64) float64

// murk is the share of a cloudless day's sun that is expected before any day was
// seen. Our estimate.
const murk = 0.5

// Outlook gives the greenhouse's air and the sun of the slots to come.
type Outlook struct {
	memory *Memory
	clear  Clear
	noon   int64 // the slot of the day that begins at noon by the sun
	beta   float64
	betaAt int64
}

// swing is half of what greenhouse air rises and falls in a winter's day, K, and late
// how long after noon it is warmest, in slots: what is expected of a time of day that was
// never seen. Our estimates.
const (
	swing = 5.0
	late  = 15
)

// usual is the daily course of a day never seen, about its mean.
func (o *Outlook) usual(slot int64) float64 {
	return swing * math.Cos(2*math.Pi*float64(slot-o.noon-late)/slotsADay)
}

// meanDay is the weighted mean of what was seen at a slot's time of day on the days
// before the slot now; not ok if never.
func (o *Outlook) meanDay(slot, now int64, of func(*Slot) float32) (mean float64, ok bool) {
	sum, weight, w := 0.0, 0.0, 1.0
	for slot -= slotsADay; slot >= now; slot -= slotsADay {
	}
	for range lookBack {
		if s, ok := o.memory.Look(slot); ok {
			if x := float64(of(&s)); known(x) {
				sum += w * x
				weight += w
			}
		}
		w *= fade
		slot -= slotsADay
	}
	return sum / weight, weight > 0
}

// brightest is the strongest sun at a slot's time of day, of the days before now.
func (o *Outlook) brightest(slot, now int64) float64 {
	most, seen := 0.0, false
	for slot -= slotsADay; slot >= now; slot -= slotsADay {
	}
	for range brightBack {
		if s, ok := o.memory.Look(slot); ok && known(float64(s.Sun)) {
			most, seen = max(most, float64(s.Sun)), true
		}
		slot -= slotsADay
	}
	if !seen && o.clear != nil {
		return o.clear(slot)
	}
	return most
}

func house(s *Slot) float32 { return s.House }
func sun(s *Slot) float32   { return s.Sun }

// Ahead is the outlook from slot now on, which is the first that is not complete, for
// n slots. Not ok if no air was seen in the last hour.
func (o *Outlook) Ahead(now int64, n int) (a Ahead, ok bool) {
	latest, usual, seen := 0.0, 0.0, 0.0
	for k := range int64(3) {
		s, ok := o.memory.Look(now - 1 - k)
		if x := float64(s.House); ok && known(x) {
			m, had := o.meanDay(now-1-k, now-1-k, house)
			if !had {
				m = x
			}
			w := 1 / float64(1+k)
			latest, usual, seen = latest+w*x, usual+w*m, seen+w
		}
	}
	if seen == 0 {
		return a, false
	}
	beta := o.sunlit(now)
	litNow, litUsual := o.lit(now-1), o.litMean(now-1, now-1)
	anomaly, last := (latest-usual)/seen-beta*(litNow-litUsual), latest/seen
	a = Ahead{House: make([]float64, n), Sun: make([]float64, n)}
	share, certain := o.clearness(now)
	for k := range n {
		slot := now + int64(k)
		a.House[k] = last + o.usual(slot) - o.usual(now-1)
		if m, ok := o.meanDay(slot, now, house); ok {
			a.House[k] = m + anomaly
		}
		bright := o.brightest(slot, now)
		m, ok := o.meanDay(slot, now, sun)
		if !ok {
			m = murk * bright
		}
		w := 0.0
		if certain {
			w = math.Exp(-float64(k) / 36)
		}
		a.Sun[k] = w*share*bright + (1-w)*m
		// the air follows the sun expected
		sum, cnt := 0.0, 0.0
		for j := 0; j < 6; j++ {
			x := 0.0
			if k-j >= 0 {
				x = a.Sun[k-j]
			} else if s, ok := o.memory.Look(slot - int64(j)); ok && known(float64(s.Sun)) {
				x = float64(s.Sun)
			}
			sum, cnt = sum+x, cnt+1
		}
		a.House[k] += beta * (sum/cnt - o.litMean(slot, now))
	}
	return a, true
}

// clearness is the share of the brightest sun that came in the last 90 minutes, if it
// was light then.
func (o *Outlook) clearness(now int64) (share float64, ok bool) {
	got, could := 0.0, 0.0
	for k := int64(1); k <= 9; k++ {
		if s, ok := o.memory.Look(now - k); ok && known(float64(s.Sun)) {
			got += float64(s.Sun)
			could += o.brightest(now-k, now-k)
		}
	}
	if could < 0.3 {
		return 0, false
	}
	return min(got/could, 1.2), true
}

// lit is the mean sun of the hour up to a slot.
func (o *Outlook) lit(slot int64) float64 {
	sum, n := 0.0, 0.0
	for j := range int64(6) {
		if s, ok := o.memory.Look(slot - j); ok && known(float64(s.Sun)) {
			sum, n = sum+float64(s.Sun), n+1
		}
	}
	if n == 0 {
		return 0
	}
	return sum / n
}

// litMean is that of the mean day.
func (o *Outlook) litMean(slot, now int64) float64 {
	sum := 0.0
	for j := range int64(6) {
		m, ok := o.meanDay(slot-j, now, sun)
		if ok {
			sum += m
		}
	}
	return sum / 6
}

// sunlit is by how many K the air follows a sun of 1.
func (o *Outlook) sunlit(now int64) float64 {
	if o.betaAt/72 == now/72 && o.betaAt != 0 {
		return o.beta
	}
	xy, xx := 0.0, 0.3
	for k := int64(1); k < 10*slotsADay; k += 3 {
		a, ok1 := o.memory.Look(now - k)
		b, ok2 := o.memory.Look(now - k - slotsADay)
		if !ok1 || !ok2 {
			continue
		}
		x := o.lit(now-k) - o.lit(now-k-slotsADay)
		y := float64(a.House) - float64(b.House)
		if !known(y) {
			continue
		}
		xy, xx = xy+x*y, xx+x*x
	}
	o.beta, o.betaAt = max(0, xy/xx), now
	return o.beta
}
