package night

import "math"

// What a sample may say; beyond it a figure is taken as not known. Temperatures are those
// of probes that work: -90 °C is about the coldest air of this earth, 150 °C more than any
// vessel here. Our choices.
const (
	coldestSaid  = -90.0
	hottestSaid  = 150.0
	brightestSun = 1.5
	fastest      = 10.0          // of a battery's capacity an hour
	firstTime    = 0             // s since 1970: 1970-01-01
	lastTime     = 7_258_118_400 // s: 2200-01-01
)

// sane is a sample without what cannot be; not ok where its time cannot be.
func (s *Sample) sane() (x Sample, ok bool) {
	x = *s
	for _, t := range []*Known{&x.Tank, &x.Air, &x.House, &x.Bed} {
		*t = between(*t, coldestSaid, hottestSaid)
	}
	x.Sun = between(x.Sun, 0, brightestSun)
	x.Charge, x.Floor = between(x.Charge, 0, 1), between(x.Floor, 0, 1)
	x.Drawn = between(x.Drawn, -fastest, fastest)
	x.Flow, x.Power = share(x.Flow), share(x.Power)
	x.Passed = max(0, x.Passed)
	at := x.Time.Unix()
	return x, at >= firstTime && at < lastTime
}

// between is a figure within bounds; one beyond them is not known.
func between(x Known, low, high float64) Known {
	if x >= low && x <= high {
		return x
	}
	return Absent()
}

// share is a figure brought to 0 to 1; what is no number is 0.
func share(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return min(max(x, 0), 1)
}
