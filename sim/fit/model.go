package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"duskloop/control/night"
)

// Model is the twin with what only a fit needs.
type Model struct {
	night.Twin
	// Exponent is how the coil's conductance goes with the speed of pump and fans.
	Exponent float64
	// Shape is the coil's conductance beside a tank at so many °C as a share of Coil, which is
	// that at 45 °C: a warm mix flows faster. Nil where nothing is known of it.
	Shape *Shape
	// Offset is by how much the tunnel's probe reads more than the greenhouse's at the
	// same temperature, K.
	Offset float64
	// TankOffset is by how much the tank's probe reads less than the tunnel's would, K.
	TankOffset float64
	// BedAt is how much warmer than the air the bed began, and was after the first two
	// long holes, K.
	BedAt [3]float64
	// Pipes are the heat of the liquid in coil and pipes, J/K; none where they hold none.
	// Stream is what the pump moves at full speed, W/K, and Still what the pipes lose to the
	// tunnel at rest, W/K.
	Pipes, Stream, Still float64
	// Blown is what the liquid that stands in the coil gives to the air while the fans run
	// alone, W/K.
	Blown float64
	// PumpHeat is what the pump gives to the liquid at full speed, W.
	PumpHeat float64
}

// The states of the model, and what drives it.
const (
	tank = iota
	air
	bed
	hot  // the liquid on its way to the coil
	cool // the liquid on its way back
	states
)

const (
	house   = iota // °C
	toTank         // W
	toAir          // W
	toBed          // W
	drivers        // how many
)

// minute is the length of a step, s.
const minute = 60.0

// move is one step of a minute: exact for drivers that stand still.
type move struct {
	state [states][states]float64
	drive [states][drivers]float64
}

// at a warmth, in steps of warmStep from 0 °C.
func (s *Shape) at(warmth int8) float64 {
	return s[min(max(int(warmth)-int(coldest/warmStep), 0), shapes-1)]
}

// moves are those of a model for the phases of a record, each found when it is first needed.
type moves struct {
	model *Model
	all   []phase
	of    []*move
}

// begin forgets the moves of another model.
func (m *moves) begin(model *Model, all []phase) {
	if m.model, m.all = model, all; len(m.of) != len(all) {
		m.of = make([]*move, len(all))
	}
	clear(m.of)
}

// doing is what pump and fans do together.
type doing int8

const (
	resting  doing = iota
	blowing        // the fans alone
	stirring       // the pump alone
	carrying       // both
	doings         // how many
)

// parts a minute is divided into: 3 s each.
const parts = 20

// phase is a part of a minute: what was done for how many twentieths of it, how fast, in
// hundredths, and how warm the tank was, in warmSteps.
type phase struct {
	doing               doing
	part, speed, warmth int8
}

// at is the move of a phase, by its number.
func (m *moves) at(n int16) *move {
	if m.of[n] == nil {
		m.of[n] = m.model.move(m.all[n])
	}
	return m.of[n]
}

// move is the step of a phase: the exponential of the equations with their drivers as states
// that stand still (Van Loan, IEEE Trans. Automatic Control 23, 1978, 395).
func (m *Model) move(p phase) *move {
	const n = states + drivers
	a := mat.NewDense(n, n, nil)
	half := max(m.Pipes, leastPipes) / 2
	heat := [states]float64{m.Tank, m.Air, m.Bed, half, half}
	add := func(row, column int, wattsPer float64) {
		a.Set(row, column, a.At(row, column)+wattsPer/heat[row]*minute*float64(p.part)/parts)
	}
	between := func(i, j int, g float64) {
		add(i, i, -g)
		add(i, j, g)
		if j < states {
			add(j, j, -g)
			add(j, i, g)
		}
	}
	m.carry(p, add, between)
	between(tank, states+house, m.TankLoss)
	between(air, states+house, m.Cover)
	between(air, bed, m.BedToAir)
	add(bed, bed, -m.BedToSoil)
	add(tank, states+toTank, 1)
	add(air, states+toAir, 1)
	add(bed, states+toBed, 1)
	var e mat.Dense
	e.Exp(a)
	step := new(move)
	for i := range states {
		for j := range states {
			step.state[i][j] = e.At(i, j)
		}
		for j := range drivers {
			step.drive[i][j] = e.At(i, states+j)
		}
	}
	return step
}

// carry adds the ways from tank to tunnel.
func (m *Model) carry(p phase, add func(row, column int, wattsPer float64), between func(i, j int, g float64)) {
	speed := float64(p.speed) / 100
	coil := m.Coil * math.Pow(speed, m.Exponent)
	if m.Shape != nil {
		coil *= m.Shape.at(p.warmth)
	}
	if m.Pipes <= 0 {
		if p.doing == carrying {
			between(tank, air, coil)
		}
		return
	}
	still := m.Still
	if p.doing == blowing {
		still += m.Blown
	}
	between(hot, air, still/2)
	between(cool, air, still/2)
	if p.doing < stirring {
		return
	}
	stream := m.Stream * speed
	for _, way := range [][2]int{{tank, hot}, {hot, cool}, {cool, tank}} {
		add(way[1], way[0], stream)
		add(way[1], way[1], -stream)
	}
	if p.doing == carrying {
		coil = min(coil, 0.95*stream) // it never passes on more than comes
		add(air, hot, coil)
		add(air, air, -coil)
		add(cool, hot, -coil)
		add(cool, air, coil)
	}
}

// leastPipes keeps the equations of pipes that hold nothing solvable, J/K.
const leastPipes = 1.0

// after is the state a move later.
func (s *move) after(x *[states]float64, u *[drivers]float64) (y [states]float64) {
	x0, x1, x2, x3, x4 := x[0], x[1], x[2], x[3], x[4]
	u0, u1, u2, u3 := u[0], u[1], u[2], u[3]
	for i := range y { // written out: half of a fit's time is spent here
		a, b := &s.state[i], &s.drive[i]
		y[i] = (a[0]*x0 + a[1]*x1) + (a[2]*x2 + a[3]*x3) + (a[4]*x4 + b[0]*u0) + (b[1]*u1 + b[2]*u2) + b[3]*u3
	}
	return y
}

// drivers of a minute.
func (m *Model) drivers(c *cell) [drivers]float64 {
	return [drivers]float64{
		house:  c.house + m.Offset,
		toTank: m.Element*c.sun*c.sun + m.PumpHeat*(c.on+c.stirred)*c.speed,
		toAir:  m.FanHeat*c.power + m.AirSun*c.level,
		toBed:  m.BedSun*c.level + m.BedToSoil*m.Soil,
	}
}
