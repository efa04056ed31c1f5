package fit

import "math"

// residual is a difference of a simulation to the record, K, and where it is.
type residual struct {
	minute int
	kind   kind
	off    float64
}

// simulate walks a model through the record and appends the differences to out. Which there
// are does not depend on the model.
func (l *laid) simulate(m *Model, ready *moves, out []residual) []residual {
	ready.begin(m, l.phases)
	var x [states]float64
	walking, n := false, 0
	for k := 0; k+1 < len(l.cells); k++ {
		if n < len(l.restarts) && k == l.restarts[n] {
			x[bed] = l.bedAt(m, n, k)
			n++
		}
		if l.begins[k] {
			x[tank], x[air] = l.tank[k]+m.TankOffset, l.air[k]
			if !walking {
				x[hot], x[cool] = m.pipes(&l.cells[k], x[tank], x[air])
			}
			walking = true
		}
		c := &l.cells[k]
		if !l.driven[k] {
			walking = false
			x[bed] = m.bedBeside(x[bed], l.air[k], c)
			if known(l.bed[k]) {
				x[bed] = l.bed[k]
			}
			continue
		}
		if !walking || l.forced[k] {
			x[air] = l.air[k]
		}
		if l.held[k] && known(l.tank[k]) {
			x[tank] = l.tank[k] + m.TankOffset
		}
		u := m.drivers(c)
		for _, p := range c.phases[:c.parts] {
			x = ready.at(p).after(&x, &u)
		}
		if walking && l.judged[k+1] && !l.begins[k+1] {
			out = l.judge(k+1, &x, m, out)
		}
	}
	return out
}

// pipes are the liquid in them where nothing is known of it: what runs has run, what rests has
// rested.
func (m *Model) pipes(c *cell, tank, air float64) (hot, cool float64) {
	if c.on+c.stirred < 0.5 || m.Stream <= 0 || c.speed <= 0 {
		return air, air
	}
	share := 0.0
	if c.on >= 0.5 {
		share = min(m.Coil*math.Pow(c.speed, m.Exponent)/(m.Stream*c.speed), 0.95)
	}
	return tank, tank - share*(tank-air)
}

// bedBeside is the bed a minute later beside an air that was read.
func (m *Model) bedBeside(x, air float64, c *cell) float64 {
	flow := m.BedToAir*(air-x) + m.BedToSoil*(m.Soil-x)
	flow += m.BedSun * c.glow
	return x + flow*minute/m.Bed
}

// judge appends the differences at the end of a minute.
func (l *laid) judge(k int, x *[states]float64, m *Model, out []residual) []residual {
	if l.night[k] < 0 {
		return out
	}
	inTank, inAir := dayTank, dayAir
	if l.dark[k] {
		inTank, inAir = nightTank, nightAir
	}
	if !l.held[k] {
		out = append(out, residual{k, inTank, x[tank] - m.TankOffset - l.tank[k]})
	}
	if !l.forced[k] {
		out = append(out, residual{k, inAir, x[air] - l.air[k]})
	}
	if known(l.bed[k]) && (l.heated || l.dark[k]) {
		out = append(out, residual{k, inBed, x[bed] - l.bed[k]})
	}
	return out
}
