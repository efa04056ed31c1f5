package season

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/sim/plant"
)

// A tunnel 10 K and a tank 20 K colder for hours: the greenhouse comes to be colder by
// (25·10 + 1.5·20) / (120 + 25 + 1.5) K, as e^(-t/τ) goes, with τ = C / (120 + 25 + 1.5): the
// step answer of a first-order body (any textbook of heat transfer, lumped capacity).
func TestColderIsALumpedBody(t *testing.T) {
	t.Parallel()
	var p plant.Params
	p.Greenhouse = plant.Greenhouse{Air: 260e3, Cover: 100, Leak: 20}
	p.Tunnel.Cover, p.Tank.Loss = 25, 1.5
	c := newColder(&p)
	ran, rest := plant.State{Tunnel: 15, Tank: 50}, plant.State{Tunnel: 5, Tank: 30}
	all := 120 + 25 + 1.5
	final, tau := (25.0*10+1.5*20)/all, time.Duration(260e3/all*float64(time.Second))
	for i := 1; i <= 300; i++ {
		c.pass(ran, rest)
		passed := time.Duration(i) * minute
		want := final * (1 - math.Exp(-float64(passed)/float64(tau)))
		assert.InDelta(t, want, c.by, 0.02*final)
	}
	assert.InEpsilon(t, final, c.by, 0.001)
}

// A greenhouse of which nothing is known is as remembered.
func TestColderOfNothingKnown(t *testing.T) {
	t.Parallel()
	c := newColder(&plant.Params{})
	c.pass(plant.State{Tunnel: 15}, plant.State{Tunnel: 5})
	assert.Zero(t, c.by)
}
