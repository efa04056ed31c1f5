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

	sunAh, loadsAh    float64 // by the panel's and the loads' own currents
	chargeStart       float64 // Ah
	pumpTime, fanTime time.Duration
	pumpStarts        int
}

// electricity is the currents of the 12 V side in A, each found on its own: sun and
// refused from the panel, battery (positive charging), and what the loads draw, or
// would but for a brown-out.
type electricity struct {
	sun, refused, battery, loads, motors, base float64
	brown                                      bool
}

// electric books h seconds at a voltage.
func (l *ledger) electric(h, volts float64, e electricity) {
	wattSeconds := volts * h
	l.sunAh += e.sun * h / 3600
	l.loadsAh += e.loads * h / 3600
	l.given += (e.sun - e.refused) * wattSeconds
	l.in += max(0, e.battery) * wattSeconds
	l.out += max(0, -e.battery) * wattSeconds
	if e.brown {
		l.unserved += e.base * wattSeconds
		return
	}
	l.base += e.base * wattSeconds
	l.motors += e.motors * wattSeconds
}

// Meters are the running sums.
func (p *Plant) Meters() Meters {
	l := &p.ledger
	wh := func(joules float64) quantity.WattHour { return quantity.WattHour(joules / 3600) }
	return Meters{
		HeatIntoTank: wh(l.joules[byElement]),
		HeatToTunnel: wh(l.joules[byCoil] + l.joules[direct] + l.joules[coilRest] + l.joules[returnRest]),
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
// of charge, the larger of two: the battery's charge against its own account, and
// that account against what the panel gave and the loads drew. All should be
// rounding.
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
	inside := share(now-p.ledger.chargeStart-float64(b.In-b.Out-b.Lost-b.Faded),
		float64(b.In+b.Out+b.Lost+b.Faded))
	outside := share(p.ledger.sunAh-p.ledger.loadsAh-float64(b.Refused+b.In-b.Out),
		p.ledger.sunAh+p.ledger.loadsAh)
	return heat, max(inside, outside)
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
