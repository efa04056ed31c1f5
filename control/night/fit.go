package night

import "math"

// What a fit rests on and how far it may go. The widths are our choices: the file's
// figures are taken to be right within a quarter, an hour's forecast of the tank within
// 0.4 K and of the air within 0.5 K, where a residual beyond outlying times that is
// damped (Huber, Annals of Mathematical Statistics 35, 1964, 73).
const (
	fitted   = 7 * slotsADay
	piece    = 6 // slots
	prior    = 0.25
	bedPrior = 5.0 // K
	// bedFarthest is how far the bed may begin from the air, K.
	bedFarthest = 15.0
	tankWidth   = 0.4
	airWidth    = 0.5
	outlying    = 1.5
	farthest    = 0.7 // of a logarithm: half to twice
	// leastSlots of whole hours must be there: a day.
	leastSlots = slotsADay
	unknowns   = figures + 1
)

// Fit is the twin as the record has it.
type Fit struct {
	logs  [figures]float64 // of the ratio to the file's figures
	width [unknowns]float64
	bed0  float64 // °C at the start of the week
	bed   float64 // °C at its end
	ok    bool
	seen  int     // residuals
	rms   float64 // of the residuals, in widths
}

// week is what a fit sees: slots in order, and which can be used.
type week struct {
	slots []Slot
	whole []bool // tank, air, house and sun known
	fresh []bool // the first of a piece that can be judged
}

// remember lays out the last week before a slot.
func remember(m *Memory, now int64) week {
	w := week{slots: make([]Slot, fitted), whole: make([]bool, fitted), fresh: make([]bool, fitted)}
	for k := range w.slots {
		s, ok := m.Look(now - fitted + int64(k))
		w.slots[k] = s
		w.whole[k] = ok && known(float64(s.TankFirst)) && known(float64(s.AirFirst)) &&
			known(float64(s.Air)) && known(float64(s.House)) && known(float64(s.Sun))
	}
	w.distrust(func(s *Slot) float32 { return s.Tank })
	w.distrust(func(s *Slot) float32 { return s.Air })
	w.distrust(func(s *Slot) float32 { return s.House })
	for k := 0; k+piece < fitted; k += piece {
		w.fresh[k] = true
		for j := range piece + 1 {
			w.fresh[k] = w.fresh[k] && w.whole[k+j]
		}
	}
	return w
}

// stuck is for how many slots a probe says exactly the same before it is not believed:
// three hours.
const stuck = 18

// distrust takes out the slots in which a probe stands still.
func (w *week) distrust(of func(*Slot) float32) {
	same := 0
	for k := 1; k < len(w.slots); k++ {
		if of(&w.slots[k]) != of(&w.slots[k-1]) {
			same = 0
			continue
		}
		if same++; same < stuck {
			continue
		}
		for j := k - same; j <= k; j++ {
			w.whole[j] = false
		}
	}
}

// residuals of hour-long forecasts under a twin, in widths; absent pieces give none.
// It returns the bed at the end.
func (w *week) residuals(t *Twin, bed float64, out []float64) ([]float64, float64) {
	out = out[:0]
	var n Now
	var l link
	light := t.Light()
	for k := 0; k+1 < len(w.slots); k++ {
		a, b := &w.slots[k], &w.slots[k+1]
		begins, ends := a.AirFirst, b.AirFirst
		if light {
			begins, ends = w.lately(k), a.Air
		}
		if k%piece == 0 {
			n = Now{Tank: float64(a.TankFirst), Air: float64(begins)}
		}
		if w.fresh[k-k%piece] {
			n.Bed = bed
			t.after(&n, float64(a.House), float64(a.Sun), float64(a.Level), float64(a.Flow), float64(a.Power), &l)
			n = l.end()
			if n.Tank < t.Limit-10 {
				out = append(out, (n.Tank-float64(b.TankFirst))/tankWidth)
			} else {
				out = append(out, 0)
			}
			if n.Air < t.VentOpens-1 {
				out = append(out, (n.Air-float64(ends))/airWidth)
			} else {
				out = append(out, 0)
			}
		}
		if w.whole[k] && w.whole[k+1] {
			bed = t.bedAfter(bed, float64(a.Air), float64(a.Level))
		}
	}
	return out, bed
}

// Learn fits the file's twin to the week before a slot, from an earlier fit on, by so
// many Gauss-Newton steps; not ok where too little of it is known, when the earlier fit
// stands.
func Learn(file *Twin, m *Memory, now int64, from Fit, steps int) (f Fit, ok bool) {
	w := remember(m, now)
	f = from
	first := 0.0
	for k := range w.slots {
		if w.whole[k] {
			first = float64(w.slots[k].Air)
			break
		}
	}
	f.bed0 = first
	g := newGauss(file, &w, first)
	for range steps {
		if !g.step(&f) {
			return from, false
		}
	}
	t := file.times(&f.logs)
	_, f.bed = w.residuals(&t, f.bed0, g.base)
	f.ok = true
	return f, true
}

// gauss is a fit at work.
type gauss struct {
	file  *Twin
	week  *week
	first float64 // the bed's start is pulled to it
	base  []float64
	day   []int // that a residual is of
	slope [unknowns][]float64
	h     [unknowns][unknowns]float64
	g     [unknowns]float64
}

func newGauss(file *Twin, w *week, first float64) *gauss {
	return &gauss{file: file, week: w, first: first, day: w.days()}
}

// nudge is the step of the differences: of a logarithm, and in K for the bed.
const nudge = 1e-4

// step is one Gauss-Newton step; not if there is too little to go by.
func (g *gauss) step(f *Fit) bool {
	t := g.file.times(&f.logs)
	g.base, _ = g.week.residuals(&t, f.bed0, g.base)
	if len(g.base) < 2*leastSlots {
		return false
	}
	for i := range unknowns {
		logs, bed := f.logs, f.bed0
		if i < figures {
			logs[i] += nudge
		} else {
			bed += nudge
		}
		t := g.file.times(&logs)
		g.slope[i], _ = g.week.residuals(&t, bed, g.slope[i])
	}
	g.normal(f)
	delta, widths, ok := solve(&g.h, &g.g)
	if !ok {
		return false
	}
	for _, d := range delta {
		if math.IsNaN(d) || math.IsInf(d, 0) {
			return false
		}
	}
	f.width = widths
	for i := range figures {
		f.logs[i] = min(farthest, max(-farthest, f.logs[i]-delta[i]))
	}
	f.bed0 = min(max(f.bed0-delta[figures], g.first-bedFarthest), g.first+bedFarthest)
	return true
}

// normal makes the equations of a step, outliers damped. Ten minutes' residuals of one
// hour are one another's kin, so they count for a sixth each.
func (g *gauss) normal(f *Fit) {
	g.h, g.g = [unknowns][unknowns]float64{}, [unknowns]float64{}
	sum := 0.0
	trust := g.trust()
	var j [unknowns]float64
	for r, x := range g.base {
		w := trust[g.day[r]] * damped(x) / piece
		sum += w * x * x
		for i := range j {
			j[i] = (g.slope[i][r] - x) / nudge
		}
		for i := range j {
			g.g[i] += w * j[i] * x
			for k := range i + 1 {
				g.h[i][k] += w * j[i] * j[k]
			}
		}
	}
	f.seen, f.rms = len(g.base), math.Sqrt(sum*piece/float64(len(g.base)))
	for i := range figures {
		g.h[i][i] += 1 / (prior * prior)
		g.g[i] += f.logs[i] / (prior * prior)
	}
	g.h[figures][figures] += 1 / (bedPrior * bedPrior)
	g.g[figures] += (f.bed0 - g.first) / (bedPrior * bedPrior)
}

// lately is the mean air of the slot before one, where all is known of it, else its own.
func (w *week) lately(k int) float32 {
	if k > 0 && w.whole[k-1] {
		return w.slots[k-1].Air
	}
	return w.slots[k].Air
}
