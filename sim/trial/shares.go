package trial

// shares turns what was recorded of the sun into shares of the power up to the next reading,
// and returns the highest voltage under load, V, or 0 where none was followed. Between two
// readings the sun is the mean of theirs; or the one's alone, where the other is none (the
// panel was covered, from the later reading on) or has a voltage without load, at which a
// panel stands higher.
func (r *Run) shares(by Sunlit, suns []float64) (highest float64) {
	if by == Constant {
		return 0
	}
	loaded := r.loaded()
	for i := range suns {
		if loaded[i] {
			highest = max(highest, suns[i])
		}
	}
	if by == ByIrradiance {
		highest = 0
	}
	for i, sun := range suns {
		suns[i] = share(by, highest, sun)
	}
	for i := range r.Readings {
		sun, next := suns[i], i+1
		switch {
		case next == len(suns) || suns[next] == 0 || sun == 0:
		case by == ByIrradiance || loaded[i] == loaded[next]:
			sun = (sun + suns[next]) / 2
		case loaded[next]:
			sun = suns[next]
		}
		r.Readings[i].On *= sun
	}
	return highest
}

// loaded says at which readings the heater was on. One that was on for a part of the time
// up to the next reading was switched then: it was before what it was not after.
func (r *Run) loaded() []bool {
	is := make([]bool, len(r.Readings))
	for i := len(is) - 1; i >= 0; i-- {
		switch on := r.Readings[i].On; {
		case on >= 1 || on > 0 && i+1 == len(is):
			is[i] = true
		case on > 0:
			is[i] = !is[i+1]
		}
	}
	return is
}

// share of the power by an irradiance, W/m², or by a voltage, V.
func share(by Sunlit, highest, sun float64) float64 {
	switch {
	case by == ByIrradiance:
		return sun / full
	case highest <= 0:
		return 0
	}
	return (sun / highest) * (sun / highest)
}
