package foresight

// Rule is the schedule of a rule that sees the present state and whether it ran: full or
// no duty, runs of at least three minutes unless the battery ends them.
func (w *Winter) Rule(on func(s State, on bool) bool) []float64 {
	schedule := make([]float64, len(w.sky))
	x, ran, left := w.plant.Start, false, 0
	for i := range w.sky {
		left--
		if left <= 0 {
			was := ran
			ran = on(x, ran)
			if ran && !was {
				left = minRun
			}
		}
		if x.Battery-w.plant.Battery.Floor < w.draw {
			ran, left = false, 0
		}
		if ran {
			schedule[i] = 1
		}
		w.step(&x, schedule[i], &w.sky[i])
	}
	return schedule
}
