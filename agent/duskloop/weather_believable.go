package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// Bounds of ours: what a sound file stays within by far, and one with its columns
// swapped or its air in °F does not.
const (
	looseShare = 0.15 // of the light that may be unexplained
	loosePower = 30   // W/m², and this much more
	looseHours = 0.10 // of the sunny hours that may have more unexplained

	hottestMean quantity.Celsius = 45 // of a month; the hottest places reach about 40 °C (from memory)
)

// unbelievable says what in a file contradicts itself or the world: irradiances that do
// not add up, air that cannot be in °C.
func unbelievable(f *weather.File, site sun.Site) []string {
	var doubts []string
	for _, err := range []error{lightAddsUp(f, site), inCelsius(f, site)} {
		if err != nil {
			doubts = append(doubts, err.Error())
		}
	}
	return doubts
}

// distrust says before any figure that it should not be trusted, and why.
func distrust(w io.Writer, doubts []string) {
	for _, d := range doubts {
		fmt.Fprintf(w, "DO NOT TRUST THESE FIGURES: %s\n", d)
	}
}

// lightAddsUp holds GHI against DHI + DNI cos z in every sunny hour that has all three.
func lightAddsUp(f *weather.File, site sun.Site) error {
	sunny, odd := 0, 0
	for _, i := range f.Intervals {
		if !i.Given.DNI || !i.Given.DHI {
			continue
		}
		height := math.Cos(float64(site.Position(i.Middle()).Zenith) * math.Pi / 180)
		sum := float64(i.DHI) + float64(i.DNI)*max(height, 0)
		if ghi := float64(i.GHI); max(ghi, sum) > loosePower {
			sunny++
			if math.Abs(ghi-sum) > looseShare*max(ghi, sum)+loosePower {
				odd++
			}
		}
	}
	if float64(odd) <= looseHours*float64(sunny) {
		return nil
	}
	return fmt.Errorf("in %d of %d sunny rows the global irradiance is not the diffuse and the direct one together: columns swapped? Or zone, stamp or place wrong?", odd, sunny)
}

// inCelsius finds air that is hot beyond any climate.
func inCelsius(f *weather.File, site sun.Site) error {
	var all []quantity.Celsius
	sum, n := make(map[time.Month]float64), make(map[time.Month]float64)
	for _, i := range f.Intervals {
		all = append(all, i.Air)
		m := i.Middle().Month()
		hours := i.End.Sub(i.Start).Hours()
		sum[m] += float64(i.Air) * hours
		n[m] += hours
	}
	slices.Sort(all)
	if middle := all[len(all)/2]; middle > hottestMean {
		return fmt.Errorf("half of its air is above %v: in °F?", middle)
	}
	for m := time.January; m <= time.December; m++ {
		if mean := quantity.Celsius(sum[m] / max(n[m], 1)); mean > mildest(site, m, n[m]) {
			return fmt.Errorf("its mean air of %v is %v: in °F?", m, mean)
		}
	}
	return nil
}

// mildest is what no month's mean exceeds: in winter away from the tropics much less
// than elsewhere. Coasts at 30° reach 18 °C then and at 40° 14 °C (from memory).
// Of single days the mean says nothing.
func mildest(site sun.Site, m time.Month, hours float64) quantity.Celsius {
	winter := m == time.December || m <= time.February
	if site.Latitude < 0 {
		winter = m >= time.June && m <= time.August
	}
	winter = winter && hours >= 15*24
	switch away := math.Abs(float64(site.Latitude)); {
	case winter && away >= 40:
		return 18
	case winter && away >= 30:
		return 22
	}
	return hottestMean
}

// possible finds a season in which the panels would give what none can.
func (x *litSeason) possible(a array) error {
	rating := float64(a.plate.Vmp) * float64(a.plate.Imp) * float64(a.wiring.Panels())
	if watts, plane, line := x.Most(); watts > 1.3*rating {
		return fmt.Errorf("line %d: its light (%.0f W/m2 on the panel) would give %.0f W from panels of %.0f W: columns, units or clock wrong?",
			line, float64(plane), watts, rating)
	}
	return nil
}
