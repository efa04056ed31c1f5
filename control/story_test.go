package control

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// weather is a slow random walk, nearer to a real loop than the fuzzer's leaps:
// it reaches the minimum times, the hysteresis and the overrun again and again.
type weather struct {
	tank, coil, tunnel, volts float64
}

func (w *weather) step(t *rapid.T, pumping bool) {
	w.tank += rapid.Float64Range(-3, 3.2).Draw(t, "tank")
	w.tunnel += rapid.Float64Range(-2, 2).Draw(t, "tunnel")
	w.volts += rapid.Float64Range(-0.25, 0.25).Draw(t, "volts")
	w.tank = min(max(w.tank, -14), 97)
	w.tunnel = min(max(w.tunnel, -14), 40)
	w.volts = min(max(w.volts, 11.2), 14)
	towards := w.tunnel
	if pumping && rapid.IntRange(0, 9).Draw(t, "still") > 0 {
		towards = w.tank
	}
	w.coil += (towards - w.coil) * rapid.Float64Range(0, 1).Draw(t, "coil")
}

// advice is anything a mind may say, and worse.
func advice(t *rapid.T) night.Advice {
	return night.Advice{
		Way:   night.Way(rapid.IntRange(0, 3).Draw(t, "way")),
		Duty:  rapid.SampledFrom([]float64{0, 0.1, 0.5, 0.97, 1, math.NaN(), -1, 7}).Draw(t, "duty"),
		Level: rapid.Float64Range(-5, 12).Draw(t, "level"),
		Cold:  rapid.Bool().Draw(t, "cold"),
	}
}

func TestStories(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := plant(rapid.Byte().Draw(t, "plant"))
		r := rig{s: s, st: NewState(), in: newRig().in}
		w := witness{s: &s}
		sky := weather{tank: rapid.Float64Range(-10, 90).Draw(t, "tank"), coil: 10,
			tunnel: rapid.Float64Range(-10, 35).Draw(t, "tunnel"), volts: 12.8}
		for step := range rapid.IntRange(20, 120).Draw(t, "steps") {
			sky.step(t, r.d.Outputs.Pump > 0)
			r.temp(Tank, quantity.Celsius(sky.tank))
			r.temp(Coil, quantity.Celsius(sky.coil))
			r.temp(Return, quantity.Celsius((sky.coil+sky.tank)/2))
			r.temp(Tunnel, quantity.Celsius(sky.tunnel))
			r.in.Meter.Volts = quantity.Volt(sky.volts)
			r.in.Meter.Amps = quantity.Ampere(rapid.Float64Range(-3, 3).Draw(t, "amps"))
			r.in.Elapsed = time.Duration(rapid.IntRange(0, 90).Draw(t, "seconds")) * time.Second
			r.in.Orders = nil
			if step%10 == 0 {
				r.in.Tonight = advice(t)
			}
			switch p := Place(rapid.IntRange(0, 40).Draw(t, "lost")); {
			case p < Places:
				r.in.Places[p].Age = time.Hour
			case p == Places:
				r.in.Orders = []Order{{OrderKind(rapid.IntRange(0, 5).Draw(t, "order")), 3 * time.Minute}}
			case p == Places+1:
				r.in.Meter.Age = time.Hour
			}
			r.st, r.d = pure(t, &r.s, r.st, r.in, step%8 == 0)
			w.check(t, r.in, r.d)
			r.in.Meter.Age = 0
		}
	})
}
