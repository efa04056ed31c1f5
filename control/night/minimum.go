package night

import "math"

// The night's minimum is foretold by what it was on the nights remembered, from three
// things known at the same time of day: the greenhouse's air, its fall in the hour before,
// and the minimum of the night before. It is the regression of Snyder & de Melo-Abreu
// (Frost Protection, FAO 2005, ch. 5) with the fall in the place of the dew point: a
// clear, dry, still evening cools fast. A ridge draws the weights towards first ones as
// long as few nights are known. The figures are our choices; of those tried, the first
// half of one real winter alone would have chosen them too.
const (
	tellers     = 3
	leastNights = 3
	mostNights  = 19 // each needs the night before: all that a memory holds
	rigid       = 20.0
	anHour      = 6 // slots
)

// firstWeights of air, fall and last night's minimum; firm is how hard they are held.
var (
	firstWeights = [tellers]float64{0.6, 0, 0.2}
	firm         = [tellers]float64{rigid, rigid / 20, rigid}
)

// nightly is one night's tellers and its minimum.
type nightly struct {
	by      [tellers]float64
	minimum float64
}

// Minimum of the greenhouse's air from slot now on for n slots, at most a day. Not ok
// before the fourth night or where the last hour is not known.
func (o *Outlook) Minimum(now int64, n int) (air float64, ok bool) {
	past, before, ok := o.nights(now, n)
	if !ok || len(past) < leastNights {
		return 0, false
	}
	by, ok := o.tell(now, before)
	return foretell(past, by), ok
}

// Bands of Minimum, asked at slot now for n slots: by the errors it would have made at the
// same time of day on each night remembered, the others being known (the jackknife). So
// they narrow through the night, and need nothing but the memory after a restart.
func (o *Outlook) Bands(now int64, n int) (b Bands) {
	past, _, ok := o.nights(now, n)
	if !ok || len(past) <= leastNights {
		return b
	}
	for i := range past {
		left := past[i]
		past[i] = past[len(past)-1]
		b.Add(foretell(past[:len(past)-1], left.by), left.minimum)
		past[i] = left
	}
	return b
}

// nights remembered, the oldest first, as they were at the time of day of slot now, with
// their minima of n slots; and last night's minimum. Not ok if that is not known.
func (o *Outlook) nights(now int64, n int) (past []nightly, before float64, ok bool) {
	if n < 1 || n > slotsADay {
		return nil, 0, false
	}
	past = make([]nightly, 0, mostNights)
	before, ok = o.lowest(now-(mostNights+1)*slotsADay, n)
	for d := int64(mostNights); d >= 1; d-- {
		from := now - d*slotsADay
		minimum, has := o.lowest(from, n)
		if by, told := o.tell(from, before); told && has && ok {
			past = append(past, nightly{by, minimum})
		}
		before, ok = minimum, has
	}
	return past, before, ok
}

// tell is what is known at a slot, with the minimum of the night before.
func (o *Outlook) tell(now int64, before float64) (by [tellers]float64, ok bool) {
	a, ok1 := o.memory.Look(now - 1)
	b, ok2 := o.memory.Look(now - 1 - anHour)
	air, fall := float64(a.House), float64(a.House)-float64(b.House)
	return [tellers]float64{air, fall, before}, ok1 && ok2 && known(fall)
}

// lowest greenhouse air of n slots; not ok where a tenth of them is not known.
func (o *Outlook) lowest(from int64, n int) (low float64, ok bool) {
	low = math.Inf(1)
	seen := 0
	for k := range int64(n) {
		if s, ok := o.memory.Look(from + k); ok && known(float64(s.House)) {
			low, seen = min(low, float64(s.House)), seen+1
		}
	}
	return low, 10*seen >= 9*n
}

// foretell the minimum by a ridge regression about the means of the past.
func foretell(past []nightly, by [tellers]float64) float64 {
	var mean nightly
	for i := range past {
		mean.minimum += past[i].minimum / float64(len(past))
		for j, x := range past[i].by {
			mean.by[j] += x / float64(len(past))
		}
	}
	var a [tellers][tellers + 1]float64
	for j := range a {
		a[j][j], a[j][tellers] = firm[j], firm[j]*firstWeights[j]
	}
	for i := range past {
		for j := range a {
			x := past[i].by[j] - mean.by[j]
			for k := range a {
				a[j][k] += x * (past[i].by[k] - mean.by[k])
			}
			a[j][tellers] += x * (past[i].minimum - mean.minimum)
		}
	}
	eliminate(&a)
	out := mean.minimum
	for j := range a {
		out += a[j][tellers] / a[j][j] * (by[j] - mean.by[j])
	}
	return out
}

// eliminate makes a diagonal of equations whose matrix is positive definite.
func eliminate(a *[tellers][tellers + 1]float64) {
	for i := range a {
		for r := range a {
			if r == i {
				continue
			}
			f := a[r][i] / a[i][i]
			for c := range a[r] {
				a[r][c] -= f * a[i][c]
			}
		}
	}
}

// reached is how many slots on an outlook's air is wholly moved by a better minimum.
const reached = 18

// Bend moves an outlook's air of the n slots ahead so that its minimum is the one
// foretold: not at all now, wholly from three hours on.
func (a *Ahead) Bend(minimum float64, n int) {
	lowest := math.Inf(1)
	for _, x := range a.House[:n] {
		lowest = min(lowest, x)
	}
	for k := range a.House[:n] {
		a.House[k] += (minimum - lowest) * min(1, float64(k+1)/reached)
	}
}
