package season_test

import (
	"flag"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// winter is how an estimate stood against the truth, minute by minute.
type winter struct {
	days, inside int     // days on all of whose minutes the truth was within the band
	off, band    float64 // means
	last         control.Charge
}

// watch runs a winter and compares the estimate with the truth.
func watch(t *testing.T, h season.House, seed uint64) winter {
	t.Helper()
	days := 182
	if raced {
		t.Log("raced: a third of the winter")
		days = 61
	}
	s := begin(t, h, seed)
	var w winter
	n := 0.0
	for range days {
		good := true
		for range 24 * 60 {
			s.Step(time.Minute)
			c := s.Charge()
			off := math.Abs(float64(c.Share - s.Plant().Now().BatteryCharge))
			good = good && c.OK && off <= float64(c.Band)
			w.off, w.band, n = w.off+off, w.band+float64(c.Band), n+1
		}
		w.days++
		if good {
			w.inside++
		}
	}
	w.last = s.Charge()
	w.off, w.band = w.off/n, w.band/n
	return w
}

// house is Alder Hollow on a battery of a kind, as rated on its label and as it is.
func house(kind battery.Chemistry, rated, is quantity.AmpereHour) season.House {
	h := alderHollow()
	h.Plant.Supply.Battery = battery.Typical(kind, is)
	b := &h.Settings.Battery
	b.Chemistry, b.Capacity = control.Chemistry(kind), rated
	b.Resistance = h.Plant.Supply.Battery.Resistance
	b.Where, b.Placed = control.Greenhouse, true
	b.RestDraw, b.RestKnown = 0.176, true // 2.2 W at 12.5 V
	if kind == battery.LiFePO4 {
		b.CutOff, b.Reconnect = 12.0, 12.9
	}
	h.Probes.Meter = plant.MeterParams{
		VoltNoise: 0.006, VoltGain: 1.003, VoltStep: 0.004,
		AmpereNoise: 0.01, AmpereZero: 0.001, AmpereGain: 1.02, AmpereStep: 0.001,
	}
	return h
}

// A winter on each kind of battery, new and aged, through a meter with an offset of 1 mA,
// a gain 2 % wrong and noise, in a greenhouse from frost to sun: on nine days of ten the
// truth is within the band at every minute.
func TestTruthInsideItsBandAllWinter(t *testing.T) {
	t.Parallel()
	for _, kind := range []battery.Chemistry{battery.Flooded, battery.AGM, battery.LiFePO4} {
		for name, is := range map[string]quantity.AmpereHour{"as rated": 34, "aged": 27} {
			t.Run(kind.String()+" "+name, func(t *testing.T) {
				t.Parallel()
				for seed := range uint64(*winters) {
					h := house(kind, 34, is)
					if wrong := &h.Probes.Meter; (seed == 0) == (name == "aged") {
						wrong.AmpereGain, wrong.VoltGain, wrong.AmpereZero = 0.98, 0.997, -0.001
					}
					counted := watch(t, h, seed+1)
					h.VoltageOnly = true
					blind := watch(t, h, seed+1)
					t.Logf("winter %d: inside %d of %d days, off %.3f in a band of %.3f; holds %.2f, zero %v; voltage alone: inside %d, off %.3f in %.3f",
						seed+1, counted.inside, counted.days, counted.off, counted.band, counted.last.Age.Holds, counted.last.Zero.Offset, blind.inside, blind.off, blind.band)
					assert.GreaterOrEqual(t, 10*counted.inside, 9*counted.days)
					assert.Less(t, counted.off, blind.off)
					assert.Less(t, counted.band, 0.2, "a band that holds everything says nothing")
				}
			})
		}
	}
}

// winters of each kind to run; "-winters 10" is for a change of the estimator.
var winters = flag.Int("winters", 1, "winters of each kind in the charge test")
