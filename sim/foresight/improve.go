package foresight

// Found is a schedule, a duty for every minute, with its score.
type Found struct {
	Duty  []float64
	Score Score
}

// Result is the best that was found.
type Result struct {
	// Pulsed runs at the law's lowest share or above, or rests; a run lasts three minutes at
	// least, and the battery pays for each of its minutes. If nothing better than the start
	// was found, it is the start itself, as it was given.
	Pulsed Found
	// Relaxed may ask for any duty in any minute.
	Relaxed Found
}

// Steps is a budget of gradient steps that leaves little to gain on a winter.
const Steps = 600

// Improve looks for the schedule of least squared degree-hours, from a start, a duty for
// every minute, and from two of its own. It takes about the given number of steps, each
// a simulation and its way back, then polishes the pulses. It panics when start has
// another length than the winter.
func (w *Winter) Improve(start []float64, steps int) Result {
	w.fits(start)
	given := Found{start, w.Simulate(start)}
	r := w.explore(start, steps/6)
	soft := w.plant.Draw / 2 / 3
	r.descend(steps/4, soft, 0.02, 0.007)
	prices := r.prices()
	r.descend(steps/4, 0, 0.007, 0.001)

	relaxed := w.found(r.minutes)
	pulsed := w.pulse(r.minutes)
	if own := w.tidied(start); w.Simulate(own).Squared < w.Simulate(pulsed).Squared {
		pulsed = own
	}
	best := w.found(w.polish(pulsed, r.minutes, prices))
	if given.Score.Squared <= best.Score.Squared {
		best = given
	}
	if best.Score.Squared < relaxed.Score.Squared {
		relaxed = best
	}
	return Result{Pulsed: best, Relaxed: relaxed}
}

// explore goes some steps from each start and keeps the best way.
func (w *Winter) explore(start []float64, steps int) *relaxed {
	var best *relaxed
	for k := range 3 {
		duty := start
		if k > 0 {
			duty = make([]float64, len(start))
			for i := range duty {
				duty[i] = 0.2 * float64(k-1)
			}
		}
		r := w.relax(duty)
		r.descend(steps, w.plant.Draw/2, 0.02, 0.02)
		if best == nil || r.bestCost < best.bestCost {
			best = r
		}
	}
	return best
}

func (w *Winter) found(duty []float64) Found { return Found{duty, w.Simulate(duty)} }

func (w *Winter) tidied(schedule []float64) []float64 {
	own := append([]float64(nil), schedule...)
	for i, d := range own {
		if d > 0 {
			own[i] = max(d, w.law.Lowest())
		}
	}
	w.tidy(own)
	return own
}
