package plant

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
	"duskloop/sim/coil"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// Plant is one simulated greenhouse. It is not safe for concurrent use.
type Plant struct {
	params  Params
	tank    *store
	flow    coil.Pumped
	battery *battery.Battery
	sun     *sun.Tracker
	element pv.Module
	charger pv.Module

	elementAim, chargerAim sun.Aim

	faults  Faults
	now     time.Time
	temp    temps
	content float64 // heat content of the tank, J
	opening struct{ tunnel, house float64 }
	cutOut  bool
	brown   bool
	ran     bool // the pump ran in the last substep
	last    last

	laws   laws
	system system
	ledger ledger
}

// last is what the last substep did, for State.
type last struct {
	panelVolts   quantity.Volt
	elementPower float64
	coilPower    float64
	pumpAmps     float64
	flow         float64
	panelSun     quantity.WattPerSquareMetre
	boiling      bool
}

// Step lets dt pass under the commands act and the weather sky, both held. Any
// dt up to some minutes; zero or less does nothing. Duties outside 0..1 count as
// the nearer end. It allocates nothing.
func (p *Plant) Step(dt time.Duration, act Act, sky weather.Sample) {
	if dt <= 0 {
		return
	}
	in := p.inputs(dt, act, sky)
	p.last.coilPower = 0
	parts := math.Ceil(dt.Seconds() / p.longest())
	for range int(parts) {
		p.live(dt.Seconds()/parts, &in)
	}
	p.last.coilPower /= dt.Seconds()
	p.now = p.now.Add(dt)
}

// longest time in seconds for which cut-out, supply and vents stand still.
func (p *Plant) longest() float64 {
	if p.params.Substep > 0 {
		return p.params.Substep.Seconds()
	}
	return 60
}

// live lets h seconds pass: first what is switched, then the heat, in substeps short
// enough to keep every temperature between its neighbours.
func (p *Plant) live(h float64, in *inputs) {
	p.trip()
	p.lay(in, p.power(h, in))
	p.system.assemble(&p.laws, &p.temp)
	p.system.capacity[nTank] = p.tank.capacity(p.temp[nTank])
	substeps := math.Ceil(h * p.system.fastest() / monotone)
	for range int(max(substeps, 1)) {
		p.warm(h / max(substeps, 1))
	}
	p.moveVents(h)
}

// warm carries the heat of one substep of h seconds.
func (p *Plant) warm(h float64) {
	p.system.capacity[nTank] = p.tank.capacity(p.temp[nTank])
	_, mean := p.system.step(&p.temp, h)
	gain := p.carry(h, &mean)
	for i := nCoil; i < nodes; i++ {
		p.temp[i] += gain[i] / p.system.capacity[i]
	}
	p.content += gain[nTank]
	p.temp[nTank] = p.tank.temperature(p.content, p.temp[nTank])
	p.boil()
	if p.params.Loop.Volume == 0 {
		p.temp[nCoil], p.temp[nReturn] = p.temp[nTank], p.temp[nTank]
	}
}

// carry books every flow's heat of h seconds at the mean temperatures and says what
// each point gains. What one loses another gains, so nothing is a remainder.
func (p *Plant) carry(h float64, mean *temps) (gain temps) {
	for f := range flows {
		w := &ways[f]
		heat := h * p.laws.at(f, mean)
		p.ledger.joules[f] += heat
		p.ledger.gross[f] += math.Abs(heat)
		gain[w.from] -= heat
		gain[w.to] += heat
	}
	p.ledger.vapour += h * p.laws.power[evaporation] / latent(p.temp[nTank])
	p.last.coilPower += h * (p.laws.at(byCoil, mean) + p.laws.at(direct, mean) + p.laws.at(coilRest, mean) + p.laws.at(returnRest, mean))
	return gain
}

// boil lets steam carry off what the tank holds above its boiling point.
func (p *Plant) boil() {
	p.last.boiling = p.temp[nTank] >= p.tank.boiling-1e-9
	if p.temp[nTank] <= p.tank.boiling {
		return
	}
	top := p.tank.heat(p.tank.boiling)
	p.ledger.joules[steam] += p.content - top
	p.ledger.gross[steam] += p.content - top
	p.ledger.vapour += (p.content - top) / latent(p.tank.boiling)
	p.content, p.temp[nTank] = top, p.tank.boiling
}

// trip works the independent thermal cut-out: a bimetal on the element.
func (p *Plant) trip() {
	limit := float64(p.params.Tank.CutOut)
	switch {
	case limit == 0:
		p.cutOut = false
	case p.temp[nTank] >= limit:
		p.cutOut = true
	case p.temp[nTank] <= limit-float64(p.params.Tank.CutOutReset):
		p.cutOut = false
	}
}

// Clock is the time up to which the plant has lived.
func (p *Plant) Clock() time.Time { return p.now }

// Sun is the site's sun, for a weather source that need not work it out again.
func (p *Plant) Sun() *sun.Tracker { return p.sun }

// SetFaults replaces the failures in force.
func (p *Plant) SetFaults(f Faults) { p.faults = f }

// Pass moves the clock on without living: for asking what would be offered.
func (p *Plant) Pass(dt time.Duration) { p.now = p.now.Add(dt) }
