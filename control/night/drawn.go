package night

// drain learns what pump and fans, and the rest, draw from the battery, as shares of its
// charge an hour: what a plan asks of a battery is a share, and the charge is counted by
// the same meter, so that a capacity or a gain that is wrong cancels.
type drain struct {
	on, off       float64 // share of the capacity
	onFor, offFor float64 // hours
}

// What a drain is learned from, and how slowly. Our choices.
const (
	darkness = 0.01 // of the sun
	trust    = 6.0  // hours for which the file's figures count
	mostFor  = 60.0 // hours remembered
)

// add takes a sample in: only the dark ones tell.
func (d *drain) add(s *Sample) {
	hours := s.Passed.Hours()
	if !(s.Sun < darkness) || !known(s.Drawn) || hours > 0.1 {
		return
	}
	used := s.Drawn * hours
	switch {
	case s.Power > 0.95:
		d.on, d.onFor = d.on+used, d.onFor+hours
		if d.onFor > mostFor {
			d.on, d.onFor = d.on/2, d.onFor/2
		}
	case s.Power == 0:
		d.off, d.offFor = d.off+used, d.offFor+hours
		if d.offFor > mostFor {
			d.off, d.offFor = d.off/2, d.offFor/2
		}
	}
}

// recall takes in what another has learned before.
func (d *drain) recall(old *drain) {
	d.on, d.onFor = d.on+old.on, d.onFor+old.onFor
	d.off, d.offFor = d.off+old.off, d.offFor+old.offFor
}

// correct sets a twin's draw by what was seen, the file's figures weighing as some hours.
func (d *drain) correct(t, file *Twin) {
	base := (d.off*t.Capacity + trust*file.Base) / (d.offFor + trust)
	both := (d.on*t.Capacity + trust*(file.Draw+file.Base)) / (d.onFor + trust)
	t.Base = min(max(base, file.Base/2), 2*file.Base)
	t.Draw = min(max(both-t.Base, file.Draw/2), 2*file.Draw)
}
