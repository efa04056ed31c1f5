package foresight

// minRun is the shortest run of pump and fans in minutes.
const minRun = 3

// pulse spreads duty over runs: duty owed is added up minute by minute, a run starts
// when the shortest run of it is owed and ends when none is. At least at the law's
// lowest share a duty is run as it is.
func (w *Winter) pulse(duty []float64) []float64 {
	low := w.law.Lowest()
	schedule := make([]float64, len(duty))
	owed, age := 0.0, 0 // age of the run, 0 at rest
	for i, d := range duty {
		owed += d
		if age > 0 && (age < minRun || owed > 1e-9) || age == 0 && owed >= minRun*low-1e-9 {
			schedule[i] = max(low, d)
			age++
		} else {
			age = 0
		}
		owed -= schedule[i]
	}
	w.tidy(schedule)
	return schedule
}

// tidy makes a schedule of pulses one that can be carried out to the letter: runs end
// where the battery could not pay for the whole minute, and what is shorter than the
// minimum run is left out.
func (w *Winter) tidy(schedule []float64) {
	x, ran := w.plant.Start, false
	for i := range schedule {
		if schedule[i] > 0 && (!w.affords(&x, schedule[i]) || !ran && !w.lasts(x, schedule, i)) {
			schedule[i] = 0
		}
		ran = schedule[i] > 0
		w.step(&x, schedule[i], &w.sky[i])
	}
}

// affords tells whether the battery pays for a whole minute.
func (w *Winter) affords(x *State, duty float64) bool {
	return w.draw*w.power(duty) <= x.Battery-w.plant.Battery.Floor
}

// power is the share of the draw at a duty that the battery grants.
func (w *Winter) power(duty float64) float64 {
	if duty <= 0 || w.fixed {
		return max(0, duty)
	}
	p, _ := w.law.Power(duty)
	return p
}

// lasts tells whether a run that would begin at minute i lasts for the minimum, or to
// the winter's end.
func (w *Winter) lasts(x State, schedule []float64, i int) bool {
	for j := i; j < min(i+minRun, len(schedule)); j++ {
		if schedule[j] == 0 || !w.affords(&x, schedule[j]) {
			return false
		}
		w.step(&x, schedule[j], &w.sky[j])
	}
	return true
}
