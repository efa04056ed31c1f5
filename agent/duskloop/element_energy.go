package main

import (
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/match"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// litSeason is the life of panels over the wanted part of a weather file.
type litSeason struct {
	*match.Season
	cover  cover
	step   time.Duration    // over which the file's figures are means
	cold   quantity.Celsius // for the voltage without load
	doubts []string         // why the file should not be trusted
}

// overSeason goes through the file's intervals: the sun at the middle of each, the
// file's own irradiance where it has it, Hay & Davies, no losses.
func overSeason(f *weather.File, site sun.Site, plane sun.Plane, wanted func(time.Month) bool, m pv.Module) *litSeason {
	x := &litSeason{Season: match.New(m)}
	for _, i := range f.Intervals {
		mid := i.Middle()
		if !wanted(mid.Month()) {
			continue
		}
		l := match.Light{Hours: i.End.Sub(i.Start).Hours(), Line: i.Line}
		if i.GHI > 0 {
			sky := i.Complete(site)
			l.Plane = site.OnPlane(plane, mid, sun.Light{GHI: sky.GHI, DNI: sky.DNI, DHI: sky.DHI})
			l.Air, l.Wind = sky.Air, float64(sky.Wind)
		}
		x.Add(l)
	}
	return x
}
