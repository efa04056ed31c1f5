package plant

import (
	"time"

	"duskloop/sensors/quantity"
)

// recovered is the charge, as a share of the capacity, that must be there before a
// browned-out supply feeds its loads again. Our choice.
const recovered = 0.02

// power runs the 12 V side for h seconds and says whether the loads were fed. When
// the battery cannot carry them everything stands, the computer too, until it has
// recovered.
func (p *Plant) power(h float64, in *inputs) bool {
	at := quantity.Celsius(p.temp[nHouse])
	volts := max(float64(p.battery.Volts()), 6)
	load := float64(p.params.Supply.BaseLoad) + in.pumpW + in.fansW
	sun := p.sunAmps(in, volts, load/volts)
	left := float64(p.battery.Available(at))
	if p.brown {
		p.brown = left < recovered*float64(p.params.Supply.Battery.Capacity)
	}
	if needed := (load/volts - sun) * h / 3600; needed > left {
		p.brown = true
	}
	fed := load
	if p.brown {
		fed = 0
	}
	step := time.Duration(h * float64(time.Second))
	got := float64(p.battery.Step(step, quantity.Ampere(sun-fed/volts), at))
	p.ledger.electric(h, volts, got, fed, p.params.Supply.BaseLoad, p.brown)
	p.count(step, in)
	p.last.pumpAmps = 0
	if !p.brown {
		p.last.pumpAmps = in.pumpW / volts
	}
	return !p.brown
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
