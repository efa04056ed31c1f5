package foresight

import "fmt"

// Winter is a greenhouse under one known stretch of weather. It is safe for concurrent
// use as far as its methods that only read go: all exported ones.
type Winter struct {
	plant   Plant
	law     Law
	fixed   bool // law is FixedSpeed
	minimum float64
	sky     []minute
	soft    float64
	rates
}

// rates are the plant's figures per minute, made ready.
type rates struct {
	tank, air, bed, house    float64 // W/K: capacity over a minute
	tankRest, airRest        float64 // W/K on the diagonal without coil and vent
	tankInv, airInv          float64 // their inverses
	bedInv, houseRest, hoInv float64
	bedShare                 float64 // of the bed's flows that is the air's
	taper                    float64 // W/K per W of element
	draw                     float64 // Wh per minute at full duty
	tunnelSlope, houseSlope  float64 // W/K per K of a vent
}

// NewWinter joins a plant and a sky of any number of minutes. minimum is the crop's, in
// °C. The error wraps ErrPlant.
func NewWinter(p Plant, s Sky, law Law, minimum float64) (*Winter, error) {
	if err := p.Validate(); err != nil {
		return nil, fmt.Errorf("foresight: %w", err)
	}
	if err := s.check(); err != nil {
		return nil, fmt.Errorf("foresight: %w", err)
	}
	_, fixed := law.(FixedSpeed)
	return &Winter{plant: p, law: law, fixed: fixed, minimum: minimum, sky: p.minutes(&s), rates: p.rates()}, nil
}

func (p *Plant) rates() rates {
	const h = 60
	r := rates{
		tank: p.Tank / h, air: p.Air / h, bed: p.Bed / h, house: p.House / h,
		taper: 1 / (p.Limit.High - p.Limit.Low), draw: p.Draw / 60,
		tunnelSlope: p.TunnelVent.slope(), houseSlope: p.HouseVent.slope(),
	}
	r.tankRest = r.tank + p.TankLoss
	r.bedInv = 1 / (r.bed + p.BedToAir + p.BedToSoil)
	r.bedShare = p.BedToAir * r.bedInv
	r.airRest = r.air + p.BedToAir*(1-r.bedShare) + p.Cover
	r.houseRest = r.house + p.HouseOut + p.Cover + p.TankLoss
	r.tankInv, r.airInv, r.hoInv = 1/r.tankRest, 1/r.airRest, 1/r.houseRest
	return r
}

func (v Vent) slope() float64 {
	if v.Conductance == 0 {
		return 0
	}
	return v.Conductance / v.Band
}

// flow is a vent linearised at temperature t of the air inside, outside being at out:
// it takes away rate·t' - gain at the minute's end. open is its conductance at t.
func (v *Vent) flow(slope, t, out float64) (open, rate, gain float64) {
	over := t - v.Opens
	if over <= 0 || v.Conductance == 0 {
		return 0, 0, 0
	}
	if over >= v.Band {
		return v.Conductance, v.Conductance, v.Conductance * out
	}
	open = slope * over
	if t <= out {
		return open, open, open * out
	}
	return open, open + slope*(t-out), open*out + slope*(t-out)*t
}

// spend is what a duty comes to with a battery: share of conductance and of power. What
// stands above the floor is the most that a minute can take.
func (w *Winter) spend(duty, battery float64) (share, power float64) {
	if duty <= 0 {
		return 0, 0
	}
	power = duty
	if !w.fixed {
		power, _ = w.law.Power(duty)
	}
	over := battery - w.plant.Battery.Floor
	if w.soft > 0 {
		f := min(1, max(0, over/w.soft))
		return duty * f, power * f
	}
	if w.draw*power <= over {
		return duty, power
	}
	if over <= 0 {
		return 0, 0
	}
	most := over / w.draw
	return duty * most / power, most
}

// step lets minute m pass at a duty. x becomes the state at its end; what returns is the
// air's shortfall then, in K.
func (w *Winter) step(x *State, duty float64, m *minute) float64 {
	share, power := w.spend(duty, x.Battery)
	w.heat(x, share, power, m)
	b := x.Battery + m.charge - w.draw*power
	x.Battery = min(max(b, 0), w.plant.Battery.Capacity)
	return max(0, w.minimum-x.Air)
}

// heat is the four temperatures' part of a step: greenhouse air first, by what tank and
// tunnel were; then tank, tunnel air and bed together.
func (w *Winter) heat(x *State, share, power float64, m *minute) {
	p := &w.plant
	house := w.houseAfter(x, power, m)
	rate, gain := 0.0, 0.0
	if x.Air > p.TunnelVent.Opens {
		_, rate, gain = p.TunnelVent.flow(w.tunnelSlope, x.Air, house)
	}
	d1, q1 := w.tankRest, w.tank*x.Tank+p.TankLoss*house
	if m.element > 0 {
		d, q := w.element(x.Tank, m.element)
		d1, q1 = d1+d, q1+q
	}
	d2, q2 := w.airRest+rate, w.air*x.Air+m.air+w.bedShare*(w.bed*x.Bed+m.bed)+p.Cover*house+gain
	if share == 0 && rate == 0 {
		x.Tank, x.Air = q1*w.tankInv, q2*w.airInv
		if d1 != w.tankRest {
			x.Tank = q1 / d1
		}
	} else {
		k := p.Coil * share
		q1, q2, d1, d2 = q1+p.TankHeat*power, q2+p.FanHeat*power, d1+k, d2+k
		inv := 1 / (d1*d2 - k*k)
		x.Tank, x.Air = (d2*q1+k*q2)*inv, (k*q1+d1*q2)*inv
	}
	x.Bed = (w.bed*x.Bed + p.BedToAir*x.Air + m.bed) * w.bedInv
	x.House = house
}

// element is its power linearised at tank temperature t: q - d·t'.
func (w *Winter) element(t, power float64) (d, q float64) {
	switch l := &w.plant.Limit; {
	case t <= l.Low:
		return 0, power
	case t >= l.High:
		return 0, 0
	default:
		d = power * w.taper
		return d, d * l.High
	}
}

// houseAfter is the greenhouse's air at the minute's end.
func (w *Winter) houseAfter(x *State, power float64, m *minute) float64 {
	p := &w.plant
	q := w.house*x.House + m.house + p.Cover*x.Air + p.TankLoss*x.Tank + p.HouseHeat*power
	if x.Air > p.TunnelVent.Opens {
		open, _, _ := p.TunnelVent.flow(w.tunnelSlope, x.Air, x.House)
		q += open * (x.Air - x.House)
	}
	if x.House <= p.HouseVent.Opens {
		return q * w.hoInv
	}
	_, rate, gain := p.HouseVent.flow(w.houseSlope, x.House, m.outdoors)
	return (q + gain) / (w.houseRest + rate)
}
