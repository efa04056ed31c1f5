package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Cells are what a file says of the battery.
type Cells struct {
	// Rest is the voltage of the rested battery at a charge of 0 to 1; it rises.
	Rest       func(charge float64) float64
	Resistance float64 // ohm, with the leads up to the meter
	Capacity   float64 // Ah
	Efficiency float64 // of charging, share
	Draw, Base float64 // W: pump and fans at full duty; always
}

// What the battery's figures are taken from. All are choices of ours: two hours without charge and
// pump lets a lead-acid battery's voltage settle to some hundredths of a volt.
const (
	restFor     = 120  // minutes
	restMean    = 10   // minutes of them that are read
	restEvery   = 60   // minutes between two that count
	fullest     = 0.95 // above it charge is refused or lost
	leastSwing  = 0.15 // of the charge, over all that rested
	leastIn     = 0.2  // of the capacity charged, for an efficiency
	steadyOn    = 3    // minutes of running in a night that are read, and of rest
	leastNights = 3    // with such running
	cellSlack   = 0.15 // a voltage between runs never rests fully: simulated batteries came out up to a quarter too small
	testDrain   = "let the battery fall by a third of its charge over some nights, then fit again"
	testRun     = "let pump and fans run half an hour in each of some nights: duskloop fit --experiment asks the daemon for a night of it"
)

// cells tells draw, base, capacity and efficiency by the meter.
func (r *Record) cells(c *Cells) []Figure {
	if c == nil {
		return nil
	}
	draw, base := r.draws(c)
	capacity, efficiency := r.stores(c)
	return []Figure{draw, base, capacity, efficiency}
}

// draws are means of nights: what the meter gives while pump and fans run, and while they rest.
func (r *Record) draws(c *Cells) (draw, base Figure) {
	var both, rest []float64
	for from := 0; from < len(r.Minutes); from += 24 * 60 {
		var on, off, ons, offs float64
		for k := from + 1; k+1 < min(from+24*60, len(r.Minutes)); k++ {
			x := &r.Minutes[k]
			if !known(x.Amps) || !known(x.Volts) || x.Amps > 0 || !r.isDark(k) {
				continue
			}
			switch before := r.Minutes[k-1].Power; { // the meter is read at a minute's beginning
			case x.Power > 0.99 && before > 0.3:
				on, ons = on-x.Volts*x.Amps, ons+1
			case x.Power == 0 && before == 0:
				off, offs = off-x.Volts*x.Amps, offs+1
			}
		}
		if offs >= steadyOn {
			rest = append(rest, off/offs)
			if ons >= steadyOn {
				both = append(both, on/ons-off/offs)
			}
		}
	}
	draw = meanOf(ofDraw, "W", c.Draw, both)
	base = meanOf(ofBase, "W", c.Base, rest)
	draw.Experiment, base.Experiment = testRun, "record some whole nights with the battery's meter"
	return draw, base
}

// isDark says that no panel can carry a part of what the meter would else see.
func (r *Record) isDark(k int) bool {
	if r.Skies != nil {
		sky := r.Skies(r.slot(k))
		return sky.Clear <= 0
	}
	return r.Minutes[k].Sun < 1e-6
}

// meanOf nights is a figure with the interval of Student's t.
func meanOf(name, unit string, file float64, all []float64) Figure {
	f := Figure{Name: name, Unit: unit, File: file, Value: file, Low: file, High: file}
	n := float64(len(all))
	if len(all) < leastNights {
		f.Why = "the meter saw too few nights of it"
		return f
	}
	mean, sum := 0.0, 0.0
	for _, x := range all {
		mean += x / n
	}
	for _, x := range all {
		sum += (x - mean) * (x - mean)
	}
	wide := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975) * math.Sqrt(sum/(n-1)/n+sq(0.01*mean))
	f.Value, f.Low, f.High = mean, mean-wide, mean+wide
	if f.Told = f.Low > 0; !f.Told {
		f.Value, f.Why = file, "it cannot be told from nothing"
	}
	return f
}

func sq(x float64) float64 { return x * x }

// rested is the charge of a battery that has settled.
type rested struct {
	minute int
	charge float64
}

// rests are where the battery had settled, and what its voltage then says.
func (r *Record) rests(c *Cells) (all []rested) {
	quiet, sum := 0, 0.0
	for k := range r.Minutes {
		x := &r.Minutes[k]
		if !known(x.Volts) || !known(x.Amps) || x.Power > 0 || x.Amps > 0 {
			quiet, sum = 0, 0
			continue
		}
		if quiet++; quiet > restFor-restMean {
			sum += x.Volts - x.Amps*c.Resistance
		}
		if quiet == restFor {
			if at := c.charge(sum / restMean); len(all) == 0 || k-all[len(all)-1].minute >= restEvery {
				all = append(all, rested{k, at})
			}
			quiet, sum = restFor-restMean, 0
		}
	}
	return all
}

// charge at a rested voltage, by halving.
func (c *Cells) charge(volts float64) float64 {
	low, high := 0.0, 1.0
	for range 30 {
		if mid := (low + high) / 2; c.Rest(mid) < volts {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
