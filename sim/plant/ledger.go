package plant

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// ledger is every running sum: heat by flow and electricity, in joules.
type ledger struct {
	joules [flows]float64 // signed
	gross  [flows]float64 // absolute
	start  float64        // heat stored at New
	vapour float64        // kg of water gone

	motors, base, given, in, out, unserved float64

	chargeStart       float64 // Ah
	pumpTime, fanTime time.Duration
	pumpStarts        int
}

// electric books h seconds of the 12 V side: got is the battery's current, fed the
// power of the loads, both at the same voltage.
func (l *ledger) electric(h, volts, got, fed float64, base quantity.Watt, brown bool) {
	energy := got * volts * h
	l.in += max(0, energy)
	l.out += max(0, -energy)
	l.given += energy + fed*h
	if brown {
		l.unserved += float64(base) * h
		return
	}
	l.base += float64(base) * h
	l.motors += (fed - float64(base)) * h
}

// Meters are the running sums.
func (p *Plant) Meters() Meters {
	l := &p.ledger
	wh := func(joules float64) quantity.WattHour { return quantity.WattHour(joules / 3600) }
	return Meters{
		HeatIntoTank: wh(l.joules[byElement]),
		HeatToTunnel: wh(l.joules[byCoil] + l.joules[coilRest] + l.joules[returnRest]),
		TankLoss:     wh(l.joules[standing]),
		Steam:        wh(l.joules[steam]),
		Evaporation:  wh(l.joules[evaporation]),
		WaterGone:    quantity.Kilogram(l.vapour),
		FanHeat:      wh(l.joules[byFans]),
		PumpHeat:     wh(l.joules[byPump]),
		BatteryUsed:  wh(l.motors),
		BaseUsed:     wh(l.base),
		PanelGiven:   wh(l.given),
		BatteryIn:    wh(l.in),
		BatteryOut:   wh(l.out),
		Unserved:     wh(l.unserved),
		PumpTime:     l.pumpTime,
		FanTime:      l.fanTime,
		PumpStarts:   l.pumpStarts,
	}
}

// stored is the heat in all six nodes, J, counted from 0 °C (the tank's from the
// start of its table).
func (p *Plant) stored() float64 {
	sum := p.content
	for i := nCoil; i < nodes; i++ {
		sum += p.system.capacity[i] * p.temp[i]
	}
	return sum
}

// Imbalance is what the books do not explain since New: of heat, the change of
// what is stored less everything that came in, plus everything that went out, as
// a share of the sum of all absolute flows (the circulating liquid not counted);
// of charge, the same of the battery's ampere-hours. Both should be rounding.
func (p *Plant) Imbalance() (heat, charge float64) {
	net, gross := 0.0, 0.0
	for f := range p.ledger.joules {
		if w := ways[f]; w.from >= nodes {
			net += p.ledger.joules[f]
		} else if w.to >= nodes {
			net -= p.ledger.joules[f]
		}
		if f := flow(f); f != outward && f != across && f != back {
			gross += p.ledger.gross[f]
		}
	}
	heat = share(p.stored()-p.ledger.start-net, gross)
	b := p.battery.Book()
	now := float64(p.battery.Charge()) * float64(p.params.Supply.Battery.Capacity)
	charge = share(now-p.ledger.chargeStart-float64(b.In-b.Out-b.Lost-b.Faded),
		float64(b.In+b.Out+b.Lost+b.Faded))
	return heat, charge
}

func share(part, whole float64) float64 {
	if whole == 0 {
		return 0
	}
	return math.Abs(part) / whole
}

// Now is the true state.
func (p *Plant) Now() State {
	c := func(i int) quantity.Celsius { return quantity.Celsius(p.temp[i]) }
	coldest := min(p.temp[nTank], p.temp[nCoil], p.temp[nReturn])
	return State{
		Time: p.now,
		Tank: c(nTank), Coil: c(nCoil), Return: c(nReturn),
		Tunnel: c(nAir), Bed: c(nBed), Greenhouse: c(nHouse),
		Outdoors:      c(atOutdoors),
		BatteryVolts:  p.battery.Volts(),
		BatteryAmps:   p.battery.Amps(),
		BatteryCharge: p.battery.Charge(),
		BrownOut:      p.brown,
		PanelVolts:    p.last.panelVolts,
		ElementPower:  quantity.Watt(p.last.elementPower),
		CutOutOpen:    p.cutOut,
		Boiling:       p.last.boiling,
		BelowFreezing: coldest < p.tank.freeze,
		CoilPower:     quantity.Watt(p.last.coilPower),
		PumpAmps:      quantity.Ampere(p.last.pumpAmps),
		Flow:          quantity.LitrePerMinute(p.last.flow),
		PanelSun:      p.last.panelSun,
	}
}
