package foresight

// Score is what a schedule comes to over all minutes.
type Score struct {
	Squared     float64 // K²h of tunnel air below the crop's minimum
	DegreeHours float64 // K h below it
	Below2      float64 // K h below 2 °C
	HoursFrozen float64 // h below 0 °C
	Drawn       float64 // Wh by pump and fans
	Starts      int     // minutes of some duty after one of none
}

// Minutes is how many there are.
func (w *Winter) Minutes() int { return len(w.sky) }

// Simulate runs a schedule, a duty of 0 to 1 for every minute, from the plant's start. A
// minute gets what the battery holds above its floor and no more. It panics when the
// schedule has another length than the winter.
func (w *Winter) Simulate(schedule []float64) Score {
	return w.Follow(schedule, func(int, State) {})
}

// Follow is Simulate that shows the state at every minute's end.
func (w *Winter) Follow(schedule []float64, each func(i int, s State)) Score {
	w.fits(schedule)
	var s Score
	x, ran := w.plant.Start, false
	for i := range w.sky {
		_, power := w.spend(schedule[i], x.Battery)
		short := w.step(&x, schedule[i], &w.sky[i])
		s.Squared += short * short / 60
		s.DegreeHours += short / 60
		s.Below2 += max(0, 2-x.Air) / 60
		s.Drawn += w.draw * power
		if x.Air < 0 {
			s.HoursFrozen += 1.0 / 60
		}
		if power > 0 && !ran {
			s.Starts++
		}
		ran = power > 0
		each(i, x)
	}
	return s
}

func (w *Winter) fits(schedule []float64) {
	if len(schedule) != len(w.sky) {
		panic("foresight: a schedule of another length than the winter")
	}
}

// run is Simulate for the search: K²min from minute a to b. states[i] is set to the
// state before minute i, states[b] to the last; states[a] is where it starts.
func (w *Winter) run(schedule []float64, states []State, a, b int) float64 {
	x, sum := states[a], 0.0
	for i := a; i < b; i++ {
		states[i] = x
		short := w.step(&x, schedule[i], &w.sky[i])
		sum += short * short
	}
	states[b] = x
	return sum
}
