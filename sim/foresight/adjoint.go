package foresight

// Gradient is how the squared degree-hours, in K²h, change with each minute's duty: the
// adjoint of the recursion itself. At a kink (a vent that begins to open, a full
// battery, a floor that is reached) it is the slope to one side.
func (w *Winter) Gradient(schedule []float64) (grad []float64, squared float64) {
	w.fits(schedule)
	n := len(schedule)
	grad = make([]float64, n)
	states := make([]State, n+1)
	states[0] = w.plant.Start
	squared = w.run(schedule, states, 0, n) / 60
	var worth State
	w.back(schedule, states, grad, nil, worth, 0, n)
	for i := range grad {
		grad[i] /= 60
	}
	return grad, squared
}

// back goes from minute b to a. worth is the slope of the cost in K²min by the state
// before minute b, and what returns is that before minute a; worths, if not nil, gets
// that before every minute. grad gets the slope by every minute's duty.
func (w *Winter) back(schedule []float64, states []State, grad []float64, worths []State, worth State, a, b int) State {
	if worths != nil {
		worths[b] = worth
	}
	for i := b - 1; i >= a; i-- {
		grad[i] = w.unstep(&states[i], &states[i+1], schedule[i], &w.sky[i], &worth)
		if worths != nil {
			worths[i] = worth
		}
	}
	return worth
}

// unstep turns the slopes of the cost by the state y after a minute into those by the
// state x before it, and returns that by the minute's duty.
func (w *Winter) unstep(x, y *State, duty float64, m *minute, worth *State) float64 {
	share, power := w.spend(duty, x.Battery)
	if short := w.minimum - y.Air; short > 0 {
		worth.Air -= 2 * short
	}
	b := worth.Battery
	if b != 0 {
		raw := x.Battery + m.charge - w.draw*power
		if raw >= w.plant.Battery.Capacity || raw <= 0 {
			b = 0
		}
	}
	byShare, byPower := w.unheat(x, y, share, m, worth)
	worth.Battery = b
	if duty <= 0 && !w.fixed {
		_, slope := w.law.Power(1e-9)
		return byShare + slope*(byPower-b*w.draw)
	}
	return w.unspend(duty, x.Battery, byShare, byPower-b*w.draw, &worth.Battery)
}

// unspend is the way back through spend.
func (w *Winter) unspend(duty, battery, byShare, byPower float64, worth *float64) float64 {
	power, slope := duty, 1.0
	if !w.fixed {
		power, slope = w.law.Power(duty)
	}
	over := battery - w.plant.Battery.Floor
	if w.soft > 0 && over < w.soft {
		if over <= 0 {
			return 0
		}
		*worth += (byShare*duty + byPower*power) / w.soft
		return (byShare + slope*byPower) * over / w.soft
	}
	if w.draw*power <= over || w.draw == 0 {
		return byShare + slope*byPower
	}
	if over <= 0 {
		return 0
	}
	*worth += (byShare*duty/power + byPower) / w.draw
	return byShare * over / w.draw * (1/power - duty*slope/(power*power))
}

// unheat is the way back through heat. The matrix of tank and air is symmetric, so it
// serves in both directions.
func (w *Winter) unheat(x, y *State, share float64, m *minute, worth *State) (byShare, byPower float64) {
	p := &w.plant
	bed := worth.Bed * w.bedInv
	r1, r2 := worth.Tank, worth.Air+p.BedToAir*bed
	d1, d2, inner, outer := w.tankRest, w.airRest, 0.0, 0.0
	if m.element > 0 {
		d, _ := w.element(x.Tank, m.element)
		d1 += d
	}
	if x.Air > p.TunnelVent.Opens && p.TunnelVent.Conductance > 0 {
		_, rate, _ := p.TunnelVent.flow(w.tunnelSlope, x.Air, y.House)
		d2 += rate
		inner, outer = w.tunnelVented(x, y)
	}
	k := p.Coil * share
	s1, s2 := r1*w.tankInv, r2/d2
	if k != 0 {
		d1, d2 = d1+k, d2+k
		inv := 1 / (d1*d2 - k*k)
		s1, s2 = (d2*r1+k*r2)*inv, (k*r1+d1*r2)*inv
	} else if d1 != w.tankRest {
		s1 = r1 / d1
	}
	byShare = -p.Coil * (s1 - s2) * (y.Tank - y.Air)
	byPower = p.TankHeat*s1 + p.FanHeat*s2
	h, byAir, byHouse := w.unhouse(x, y, m, worth.House+p.TankLoss*s1+(p.Cover+outer)*s2)
	worth.Tank = w.tank*s1 + p.TankLoss*h
	worth.Air = (w.air+inner)*s2 + p.Cover*h + byAir
	worth.Bed = w.bed * (bed + w.bedShare*s2)
	worth.House = w.house*h + byHouse
	return byShare, byPower + p.HouseHeat*h
}

// tunnelVented is how the tunnel air's balance changes, beside its matrix, with the air
// before (inner) and the greenhouse's air (outer), while the vent is open.
func (w *Winter) tunnelVented(x, y *State) (inner, outer float64) {
	v := &w.plant.TunnelVent
	over := x.Air - v.Opens
	switch {
	case over >= v.Band:
		return 0, v.Conductance
	case x.Air <= y.House:
		return w.tunnelSlope * (y.House - y.Air), w.tunnelSlope * over
	default:
		return 2 * w.tunnelSlope * (x.Air - y.Air), w.tunnelSlope * (over + y.Air - x.Air)
	}
}

// unhouse is the way back through houseAfter: the slope by the heat of its balance, and
// what the vents add to those by tunnel and greenhouse air.
func (w *Winter) unhouse(x, y *State, m *minute, worth float64) (h, byAir, byHouse float64) {
	p := &w.plant
	h = worth * w.hoInv
	if v := &p.HouseVent; x.House > v.Opens && v.Conductance > 0 {
		_, rate, _ := v.flow(w.houseSlope, x.House, m.outdoors)
		h = worth / (w.houseRest + rate)
		if x.House < v.Opens+v.Band {
			byHouse = w.houseSlope * (m.outdoors - y.House) * h
			if x.House > m.outdoors {
				byHouse = 2 * w.houseSlope * (x.House - y.House) * h
			}
		}
	}
	if v := &p.TunnelVent; x.Air > v.Opens && v.Conductance > 0 {
		open, _, _ := v.flow(w.tunnelSlope, x.Air, x.House)
		byHouse -= open * h
		byAir = open * h
		if x.Air < v.Opens+v.Band {
			byAir += w.tunnelSlope * (x.Air - x.House) * h
		}
	}
	return h, byAir, byHouse
}
