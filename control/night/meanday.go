package night

// fade is the weight of a day in the mean day, per day of its age; lookBack how many
// days it spans and brightBack over how many the brightest sun is sought.
const (
	fade       = 0.75
	lookBack   = 10
	brightBack = 12
)

// meanDay is the day as the days before slot now were, by the time of day: from an hour
// and a half before now, where an outlook takes its bearings, to a day ahead. NaN where
// nothing was seen.
type meanDay struct {
	house, sun [lead + slotsADay]float64 // °C, share: weighted means
	bright     [lead + slotsADay]float64 // share: the strongest
}

// lead is how many slots before now a mean day has.
const lead = 9

// place of the slot k ahead of now, from -lead on.
func place(k int) int {
	if k < 0 {
		return k + lead
	}
	return k%slotsADay + lead
}

// of fills a mean day in.
func (d *meanDay) of(o *Outlook, now int64) {
	for k := range d.house {
		slot := now + int64(k-lead) - slotsADay
		d.house[k], d.sun[k], d.bright[k] = o.before(slot)
	}
}

// before are the means of a slot and the same ones of the days before it, and their
// brightest sun.
func (o *Outlook) before(slot int64) (house, sun, bright float64) {
	var of, weight [2]float64
	w, seen, latest := 1.0, false, slot
	for day := range brightBack {
		if s := o.memory.find(slot); s != nil {
			h, x := float64(s.House), float64(s.Sun)
			if day < lookBack && known(h) {
				of[0], weight[0] = of[0]+w*h, weight[0]+w
			}
			if day < lookBack && known(x) {
				of[1], weight[1] = of[1]+w*x, weight[1]+w
			}
			if known(x) {
				bright, seen = max(bright, x), true
			}
		}
		w, slot = w*fade, slot-slotsADay
	}
	if !seen {
		if s := o.memory.light.sky(latest); s != nil {
			bright = s.Clear
		}
	}
	return of[0] / weight[0], of[1] / weight[1], bright
}

// lit is the mean day's mean sun of the hour up to the slot k ahead.
func (d *meanDay) lit(k int) float64 {
	sum := 0.0
	for j := k; j > k-anHour; j-- {
		if x := d.sun[place(j)]; known(x) {
			sum += x
		}
	}
	return sum / anHour
}

// How sunlit looks back: every third slot of ten days, each beside the day before.
const (
	sunlitFor   = 10 * slotsADay
	sunlitEvery = 3
	sunlitFirm  = 0.3 // against a day or two of sun that tells little
	sunlitAnew  = slotsADay / 2
)

// sunlit is by how many K the air follows a sun of 1. It is sought anew twice a day.
func (o *Outlook) sunlit(now int64) float64 {
	if o.betaAt/sunlitAnew == now/sunlitAnew && o.betaAt != 0 {
		return o.beta
	}
	var lit [sunlitFor + slotsADay]float64
	o.litBack(now, lit[:])
	xy, xx := 0.0, sunlitFirm
	for k := int64(1); k < sunlitFor; k += sunlitEvery {
		y := o.memory.house(now-k) - o.memory.house(now-k-slotsADay)
		if !known(y) {
			continue
		}
		x := lit[k] - lit[k+slotsADay]
		xy, xx = xy+x*y, xx+x*x
	}
	o.beta, o.betaAt = max(0, xy/xx), now
	return o.beta
}

// litBack fills in lit of so many slots back from now.
func (o *Outlook) litBack(now int64, out []float64) {
	sum, n := 0.0, 0
	for k := len(out) + anHour - 2; k >= 0; k-- {
		if x := o.memory.sun(now - int64(k)); known(x) {
			sum, n = sum+x, n+1
		}
		if x := o.memory.sun(now - int64(k+anHour)); k < len(out)-1 && known(x) {
			sum, n = sum-x, n-1
		}
		if k < len(out) {
			out[k] = 0
			if n > 0 {
				out[k] = sum / float64(n)
			}
		}
	}
}
