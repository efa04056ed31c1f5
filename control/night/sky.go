package night

// Skies says what suns a slot may have, by the place and the panels' plane; a mind may
// have none.
type Skies func(slot int64) Sky

// Suns are how many a Sky knows.
const Suns = 9

// Sky is the sun of a slot under a sky that clears: from none at all to a little more
// than a cloudless one gives. Of each it has what falls into the plane of the element's
// panel, which is measured, and what falls on the level, which warms a tunnel; both as
// shares of 1000 W/m², Plane rising.
type Sky struct {
	Plane, Level [Suns]float64
	Clear        float64 // in the plane, cloudless
}

// onLevel is the sun on the level as a share of that in the plane where nothing is known
// of the sky: about what it is in front of steep panels to the south in winter. Our
// estimate.
const onLevel = 0.7

// level is the sun on the level that goes with one in the plane.
func (s *Sky) level(plane float64) float64 {
	if !known(plane) {
		return Absent()
	}
	for i := 1; i < Suns; i++ {
		low, high := s.Plane[i-1], s.Plane[i]
		if plane < high {
			return s.Level[i-1] + (s.Level[i]-s.Level[i-1])*max(0, plane-low)/(high-low)
		}
	}
	if s.Plane[Suns-1] <= 0 { // the sun is down, as far as the place is known
		return onLevel * plane
	}
	return s.Level[Suns-1]
}

// level of a slot that had so much sun in the plane.
func (s Skies) level(slot int64, plane float64) float64 {
	if s == nil || plane == 0 {
		return onLevel * plane
	}
	sky := s(slot)
	return sky.level(plane)
}

// over are the skies of so many slots; nil where none are known.
func (s Skies) over(from int64, slots int) []Sky {
	if s == nil {
		return nil
	}
	all := make([]Sky, slots)
	for k := range all {
		all[k] = s(from + int64(k))
	}
	return all
}

// light fills in the sun on the level from a slot on.
func (a *Ahead) light(s Skies, from int64) { a.lit(s.over(from, len(a.Sun))) }

// lit fills it in under the skies of its steps.
func (a *Ahead) lit(skies []Sky) {
	if skies == nil {
		return
	}
	a.Level = make([]float64, len(a.Sun))
	for k, x := range a.Sun {
		a.Level[k] = skies[k].level(x)
	}
}

// level is the sun on the level k steps ahead.
func (a *Ahead) level(k int) float64 {
	if a.Level == nil {
		return onLevel * a.Sun[k]
	}
	return a.Level[k]
}

// First are the first n steps of it.
func (a Ahead) First(n int) Ahead { return a.from(0, n) }

// From is what is ahead after so many steps.
func (a Ahead) From(steps int) Ahead { return a.from(steps, len(a.House)) }

func (a Ahead) from(k, n int) Ahead {
	b := Ahead{House: a.House[k:n], Sun: a.Sun[k:n]}
	if a.Level != nil {
		b.Level = a.Level[k:n]
	}
	return b
}
