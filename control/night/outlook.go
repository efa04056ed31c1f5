package night

import "math"

// murk is the share of a cloudless day's sun that is expected before any day was
// seen. Our estimate.
const murk = 0.5

// Outlook gives the greenhouse's air and the sun of the slots to come.
type Outlook struct {
	memory *Memory
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

// Ahead is the outlook from slot now on, which is the first that is not complete, for
// n slots. Not ok if no air was seen in the last hour.
func (o *Outlook) Ahead(now int64, n int) (a Ahead, ok bool) {
	if a, ok = o.unlit(now, n); ok {
		a.light(&o.memory.light, now)
	}
	return a, ok
}

// unlit is Ahead without the sun on the level.
func (o *Outlook) unlit(now int64, n int) (a Ahead, ok bool) {
	var day meanDay
	day.of(o, now)
	last, anomaly, ok := o.anomaly(now, &day)
	if !ok {
		return a, false
	}
	beta := o.sunlit(now)
	anomaly -= beta * (o.lit(now-1) - day.lit(-1))
	a = Ahead{House: make([]float64, n), Sun: make([]float64, n)}
	o.suns(now, &day, a.Sun)
	for k := range a.House {
		a.House[k] = last + o.usual(now+int64(k)) - o.usual(now-1)
		if m := day.house[place(k)]; known(m) {
			a.House[k] = m + anomaly
		}
		// the air follows the sun expected
		a.House[k] += beta * (o.litAhead(now, a.Sun, k) - day.lit(k))
	}
	return a, true
}

// anomaly is by how much the air of the last half hour was warmer than the mean day, and
// that air.
func (o *Outlook) anomaly(now int64, day *meanDay) (last, warmer float64, ok bool) {
	latest, usual, seen := 0.0, 0.0, 0.0
	for k := range 3 {
		x := o.memory.house(now - 1 - int64(k))
		if !known(x) {
			continue
		}
		m := day.house[place(-1-k)]
		if !known(m) {
			m = x
		}
		w := 1 / float64(1+k)
		latest, usual, seen = latest+w*x, usual+w*m, seen+w
	}
	return latest / seen, (latest - usual) / seen, seen > 0
}

// suns fills in the sun ahead: the mean day's, and for some hours the clearness of now.
func (o *Outlook) suns(now int64, day *meanDay, out []float64) {
	share, certain := o.clearness(now, day)
	for k := range out {
		bright, m := day.bright[place(k)], day.sun[place(k)]
		if !known(m) {
			m = murk * bright
		}
		w := 0.0
		if certain {
			w = math.Exp(-float64(k) / 36)
		}
		out[k] = w*share*bright + (1-w)*m
	}
}

// clearness is the share of the brightest sun that came in the last 90 minutes, if it
// was light then.
func (o *Outlook) clearness(now int64, day *meanDay) (share float64, ok bool) {
	got, could := 0.0, 0.0
	for k := 1; k <= 9; k++ {
		if x := o.memory.sun(now - int64(k)); known(x) {
			got += x
			could += day.bright[place(-k)]
		}
	}
	if could < 0.3 {
		return 0, false
	}
	return min(got/could, 1.2), true
}

// litAhead is the mean sun of the hour up to the slot k ahead, the sun ahead being given.
func (o *Outlook) litAhead(now int64, sun []float64, k int) float64 {
	sum := 0.0
	for j := k; j > k-anHour; j-- {
		if j >= 0 {
			sum += sun[j]
		} else if x := o.memory.sun(now + int64(j)); known(x) {
			sum += x
		}
	}
	return sum / anHour
}

// lit is the mean sun of the hour up to a slot.
func (o *Outlook) lit(slot int64) float64 {
	sum, n := 0.0, 0.0
	for j := range int64(anHour) {
		if x := o.memory.sun(slot - j); known(x) {
			sum, n = sum+x, n+1
		}
	}
	if n == 0 {
		return 0
	}
	return sum / n
}
