package plant

import (
	"time"

	"duskloop/sensors/quantity"
)

// recovered is the charge, as a share of the capacity, that must be there before a
// browned-out supply feeds its loads again. Our choice.
const recovered = 0.02

// lowest is the voltage below which a load of so many watts is not let grow in amperes,
// in V: below it no pump runs. Our choice.
const lowest = 6

// power runs the 12 V side for h seconds and says whether the loads were fed. When
// the battery cannot carry them everything stands, the computer too, until it has
// recovered.
func (p *Plant) power(h float64, in *inputs) bool {
	at := quantity.Celsius(p.temp[nHouse])
	volts := max(float64(p.battery.Volts()), lowest)
	loads := (float64(p.params.Supply.BaseLoad) + in.pumpW + in.fansW) / volts
	sun := p.sunAmps(in, volts, loads)
	if p.brown = p.short(h, loads-sun, at); p.brown {
		loads, sun = 0, p.sunAmps(in, volts, 0)
	}
	refused := p.battery.Book().Refused
	step := time.Duration(h * float64(time.Second))
	got := float64(p.battery.Step(step, quantity.Ampere(sun-loads), at))
	p.ledger.electric(h, volts, electricity{
		sun: sun, refused: float64(p.battery.Book().Refused-refused) * 3600 / h, battery: got, loads: loads,
		motors: (in.pumpW + in.fansW) / volts, base: float64(p.params.Supply.BaseLoad) / volts, brown: p.brown,
	})
	p.count(step, in)
	p.last.pumpAmps = 0
	if !p.brown {
		p.last.pumpAmps = in.pumpW / volts
	}
	return !p.brown
}

// short says whether the battery cannot give the amperes asked of it for h seconds,
// or has not yet recovered from that.
func (p *Plant) short(h, asked float64, at quantity.Celsius) bool {
	left := float64(p.battery.Available(at))
	if p.brown && left < recovered*float64(p.params.Supply.Battery.Capacity) {
		return true
	}
	return asked*h/3600 > left
}

// sunAmps is the battery panel's current beside loads that draw so many amperes,
// before the battery's acceptance limits it. A directly joined panel works where its
// curve meets the battery's voltage, which rises with the current.
func (p *Plant) sunAmps(in *inputs, volts, loads float64) float64 {
	if p.params.Supply.Charger == MaximumPower {
		return in.best / volts
	}
	open := p.battery.VoltsAt(quantity.Ampere(-loads))
	return float64(in.charger.OnBattery(open, p.params.Supply.Battery.Resistance).Amps)
}

// count keeps the running times and the pump's starts. A stuck pump draws and
// counts.
func (p *Plant) count(h time.Duration, in *inputs) {
	runs := in.pump > 0 && !p.brown
	if runs {
		p.ledger.pumpTime += h
		if !p.ran {
			p.ledger.pumpStarts++
		}
	}
	p.ran = runs
	if in.fans > 0 && !p.brown {
		p.ledger.fanTime += h
	}
}
