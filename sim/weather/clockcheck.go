package weather

import (
	"math"
	"time"
)

// sunOffset estimates how long after its stamp a row's sun stood where its light says:
// global, direct and diffuse irradiance hold the sun's height, cos z = (GHI - DHI) /
// DNI, and the least squares of its course over all bright rows give the time. ok is
// false with too few such rows.
//
// The sun is that of the day-number formulas, good to about half a degree in height;
// morning and evening cancel most of it (checked: a minute and a half).
func sunOffset(rows []row, s Station) (offset time.Duration, ok bool) {
	var up, down float64
	n := 0
	for _, r := range rows {
		if !r.given.DNI || !r.given.DHI || r.DNI < 150 {
			continue
		}
		const minute = 60
		before, after := roughCosine(r.stamp.Add(-minute*time.Second), s), roughCosine(r.stamp.Add(minute*time.Second), s)
		slope, now := (after-before)/(2*minute), (after+before)/2
		up += ((float64(r.GHI)-float64(r.DHI))/float64(r.DNI) - now) * slope
		down += slope * slope
		n++
	}
	if n < 8 || down == 0 {
		return 0, false
	}
	seconds := up / down
	return time.Duration(seconds * float64(time.Second)), math.Abs(seconds) < 6*3600
}

// roughCosine is the cosine of the sun's zenith angle by the declination and the
// equation of time of Spencer, Search 2, 1971 (coefficients from memory, unverified;
// the tests hold it to sim/sun).
func roughCosine(t time.Time, s Station) float64 {
	u := t.UTC()
	hours := float64(u.Hour()) + float64(u.Minute())/60 + float64(u.Second())/3600
	b := 2 * math.Pi * (float64(u.YearDay()-1) + (hours-12)/24) / 365
	sin, cos := math.Sincos(b)
	sin2, cos2 := math.Sincos(2 * b)
	sin3, cos3 := math.Sincos(3 * b)
	declination := 0.006918 - 0.399912*cos + 0.070257*sin - 0.006758*cos2 + 0.000907*sin2 - 0.002697*cos3 + 0.00148*sin3
	equation := 229.18 * (0.000075 + 0.001868*cos - 0.032077*sin - 0.014615*cos2 - 0.040849*sin2) // minutes
	angle := (hours+equation/60-12)*math.Pi/12 + float64(s.Longitude)*math.Pi/180
	lat := float64(s.Latitude) * math.Pi / 180
	return math.Sin(lat)*math.Sin(declination) + math.Cos(lat)*math.Cos(declination)*math.Cos(angle)
}
