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

// OnLevel is the sun on the level that goes with one in the plane, both as shares of 1000
// W/m²; absent where that is.
func (s *Sky) OnLevel(plane float64) float64 {
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

// daylight remembers the skies of a day: a sky half a day or a day and a half older is the
// same to a tenth of what it tells (the sun's height at noon moves by 0.4° a day at most).
type daylight struct {
	skies Skies
	of    [slotsADay]Sky
	at    [slotsADay]int64 // of which slot of all time a place holds the sky, plus one; 0 none
}

// freshFor is for how many slots a sky is remembered. Our choice.
const freshFor = slotsADay * 3 / 2

// sky of a slot; nil where none is known.
func (d *daylight) sky(slot int64) *Sky {
	if d.skies == nil || slot < 0 {
		return nil
	}
	i := slot % slotsADay
	if age := slot + 1 - d.at[i]; d.at[i] == 0 || age > freshFor || age < -freshFor {
		d.of[i], d.at[i] = d.skies(slot), slot+1
	}
	return &d.of[i]
}

// level of a slot that had so much sun in the plane.
func (d *daylight) level(slot int64, plane float64) float64 {
	if plane == 0 {
		return 0
	}
	if s := d.sky(slot); s != nil {
		return s.OnLevel(plane)
	}
	return onLevel * plane
}

// light fills in the sun on the level from a slot on.
func (a *Ahead) light(d *daylight, from int64) {
	a.Level = make([]float64, len(a.Sun))
	for k, x := range a.Sun {
		a.Level[k] = d.level(from+int64(k), x)
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
