package foresight

import "math"

// relaxed is a schedule in blocks of equal length whose duty may be anything from 0 to
// 1, on its way downhill: Adam (Kingma & Ba, arXiv:1412.6980), held to 0..1.
//
// The battery's floor cuts duty off at once, and a slope sees nothing of what lies
// behind. On the way the pump therefore gives way over the last soft Wh above the floor;
// that makes what a Wh is worth later visible earlier.
type relaxed struct {
	w          *Winter // a copy of its own, because of soft
	duty       []float64
	minutes    []float64
	states     []State
	grad       []float64 // by minute
	slope      []float64 // by block
	mean, mid2 []float64 // Adam's running mean and mean square of the slope
	steps      int
	best       []float64
	bestCost   float64
}

const (
	block = 10 // minutes
	// rest is what a minute of full duty must save at least, in K²min. Without a price,
	// pump and fans would run for nothing in autumn.
	rest = 1e-3
)

func (w *Winter) relax(schedule []float64) *relaxed {
	n := len(schedule)
	k := (n + block - 1) / block
	own := *w
	r := &relaxed{
		w: &own, minutes: make([]float64, n), states: make([]State, n+1), grad: make([]float64, n),
		duty: make([]float64, k), slope: make([]float64, k), mean: make([]float64, k), mid2: make([]float64, k),
		best: make([]float64, k), bestCost: math.Inf(1),
	}
	for i, d := range schedule {
		r.duty[i/block] += d / float64(min(block, n-i/block*block))
	}
	return r
}

// lay spreads the blocks over the minutes and simulates them.
func (r *relaxed) lay() float64 {
	for i := range r.minutes {
		r.minutes[i] = r.duty[i/block]
	}
	r.states[0] = r.w.plant.Start
	return r.w.run(r.minutes, r.states, 0, len(r.minutes))
}

// evaluate finds the cost in K²min and the slopes, and remembers the best.
func (r *relaxed) evaluate() {
	cost := r.lay()
	r.w.back(r.minutes, r.states, r.grad, nil, State{}, 0, len(r.minutes))
	clear(r.slope)
	for i, g := range r.grad {
		r.slope[i/block] += g + rest
	}
	if cost < r.bestCost {
		r.bestCost = cost
		copy(r.best, r.duty)
	}
}

// descend takes steps whose rate falls from first to last along a cosine, with a floor
// that is soft Wh deep, and ends at the best it saw.
func (r *relaxed) descend(steps int, soft, first, last float64) {
	r.w.soft, r.bestCost = soft, math.Inf(1)
	for s := range steps {
		r.evaluate()
		r.step(last + (first-last)*(1+math.Cos(math.Pi*float64(s)/float64(steps)))/2)
	}
	r.evaluate()
	copy(r.duty, r.best)
	r.lay()
}

func (r *relaxed) step(rate float64) {
	const b1, b2, tiny = 0.9, 0.98, 1e-6
	r.steps++
	c1 := 1 / (1 - math.Pow(b1, float64(r.steps)))
	c2 := 1 / (1 - math.Pow(b2, float64(r.steps)))
	for k, g := range r.slope {
		r.mean[k] = b1*r.mean[k] + (1-b1)*g
		r.mid2[k] = b2*r.mid2[k] + (1-b2)*g*g
		d := rate * r.mean[k] * c1 / (math.Sqrt(r.mid2[k]*c2) + tiny)
		r.duty[k] = min(1, max(0, r.duty[k]-d))
	}
}

// prices are what a Wh more in the battery before each minute saves, in K²min, below
// zero, by the floor as it stands.
func (r *relaxed) prices() []float64 {
	n := len(r.minutes)
	worths := make([]State, n+1)
	r.lay()
	r.w.back(r.minutes, r.states, r.grad, worths, State{}, 0, n)
	prices := make([]float64, n+1)
	for i := range worths {
		prices[i] = min(0, worths[i].Battery)
	}
	return prices
}
