package fit

import (
	"fmt"
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

// Shape is how a coil goes with the temperature of its tank, in steps of warmStep from
// coldest on.
type Shape [shapes]float64

// How finely and how far, K and °C. Our choices.
const (
	warmStep = 5.0
	coldest  = -20.0
	shapes   = 25
)

// NewShape is the shape of a coil whose conductance beside a tank at so many °C is told.
func NewShape(coil func(tank float64) (float64, error)) (*Shape, error) {
	full, err := coil(45)
	if err != nil {
		return nil, fmt.Errorf("the coil's shape: %w", err)
	}
	s := new(Shape)
	for i := range s {
		g, err := coil(coldest + warmStep*float64(i))
		if err != nil {
			return nil, fmt.Errorf("the coil's shape: %w", err)
		}
		s[i] = g / full
	}
	return s, nil
}

// at a warmth, in steps of warmStep from 0 °C.
func (s *Shape) at(warmth int8) float64 {
	return s[min(max(int(warmth)-int(coldest/warmStep), 0), shapes-1)]
}

// moves are those of a model, each found when it is first needed.
type moves struct {
	model *Model
	of    map[running]*move
}

// running is for how many hundredths of a minute pump and fans ran together, the pump
// alone and the fans alone, how fast, in hundredths too, and how warm the tank was, in
// warmSteps.
type running struct{ both, pump, fans, speed, warmth int8 }

func (c *cell) running() (r running) {
	hundredths := func(x float64) int8 { return int8(100*min(max(x, 0), 1) + 0.5) }
	r = running{hundredths(c.on), hundredths(c.stirred), hundredths(c.blown), hundredths(c.speed), int8(math.Round(c.tank / warmStep))}
	if r.both == 0 {
		r.warmth = 0
	}
	if r.both+r.pump+r.fans == 0 {
		r.speed = 0
	}
	return r
}

func newMoves() moves { return moves{of: make(map[running]*move)} }

// at is the move of a minute.
func (m *moves) at(c *cell) *move {
	r := c.running()
	step := m.of[r]
	if step == nil {
		step = m.model.move(r)
		m.of[r] = step
	}
	return step
}

// move is the step of a minute: the exponential of the equations with their drivers as
// states that stand still (Van Loan, IEEE Trans. Automatic Control 23, 1978, 395).
func (m *Model) move(r running) *move {
	both, pump, fans, speed := float64(r.both)/100, float64(r.pump)/100, float64(r.fans)/100, float64(r.speed)/100
	const n = states + drivers
	a := mat.NewDense(n, n, nil)
	half := max(m.Pipes, leastPipes) / 2
	heat := [states]float64{m.Tank, m.Air, m.Bed, half, half}
	add := func(row, column int, wattsPer float64) {
		a.Set(row, column, a.At(row, column)+wattsPer/heat[row]*minute)
	}
	between := func(i, j int, g float64) {
		add(i, i, -g)
		add(i, j, g)
		if j < states {
			add(j, j, -g)
			add(j, i, g)
		}
	}
	coil := m.Coil * math.Pow(speed, m.Exponent)
	if m.Shape != nil {
		coil *= m.Shape.at(r.warmth)
	}
	if m.Pipes > 0 {
		stream := m.Stream * speed
		coil = min(coil, 0.95*stream) // it never passes on more than comes
		carry := func(from, to int) {
			add(to, from, (both+pump)*stream)
			add(to, to, -(both+pump)*stream)
		}
		carry(tank, hot)
		carry(hot, cool)
		carry(cool, tank)
		add(air, hot, both*coil)
		add(air, air, -both*coil)
		add(cool, hot, -both*coil)
		add(cool, air, both*coil)
		between(hot, air, (m.Still+fans*m.Blown)/2)
		between(cool, air, (m.Still+fans*m.Blown)/2)
	} else {
		between(tank, air, both*coil)
	}
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

// leastPipes keeps the equations of pipes that hold nothing solvable, J/K.
const leastPipes = 1.0

// after is the state a move later.
func (s *move) after(x [states]float64, u *[drivers]float64) (y [states]float64) {
	for i := range y {
		for j, v := range x {
			y[i] += s.state[i][j] * v
		}
		for j, v := range u {
			y[i] += s.drive[i][j] * v
		}
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
