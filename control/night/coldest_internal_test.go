package night

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A tunnel that only air and cover make nears the house's air by e^(-t/tau), tau = 60 kJ/K
// / 25 W/K = 40 min, here in implicit steps: (1 + h/tau)^-n.
func TestColdestByTheClosedForm(t *testing.T) {
	t.Parallel()
	twin := Twin{Tank: 1e5, Air: 60e3, Bed: 1, Cover: 25, Limit: 90, VentOpens: 30, Capacity: 100, Efficiency: 1}
	a := Ahead{House: make([]float64, 12), Sun: make([]float64, 12)}
	air, steps := twin.Coldest(Now{Tank: 40, Air: 8, Bed: 5, Charge: 50}, a)
	assert.InDelta(t, 8*math.Pow(1+Step*25/60e3, -12), air, 1e-9)
	assert.Equal(t, 12, steps)
	for k := range a.House {
		a.House[k] = 20
	}
	air, steps = twin.Coldest(Now{Tank: 40, Air: 8, Bed: 5, Charge: 50}, a)
	assert.InDelta(t, 8, air, 1e-9)
	assert.Zero(t, steps, "it only warms")
}
