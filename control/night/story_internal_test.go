package night

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Without heat and bed, and long after every start, the tunnel's air is the greenhouse's:
// what that is shifted by, its coldest is too. With heat it is less, and the story's band
// is about its coldest.
func TestBandGoesThroughTheTwin(t *testing.T) {
	t.Parallel()
	bare := large()
	bare.BedToAir, bare.TankLoss, bare.AirSun = 0, 0, 0
	a := coldSpell(144, 3)
	p := NewPlan(bare, Aim{Minimum: 5}, Pulsed, Now{Tank: 20, Air: a.House[0], Charge: 1000}, []Ahead{a}, 144, 0, nil)
	middle := p.coldest(0, 0, p.Duty)
	assert.InDelta(t, middle-2, p.coldest(0, -2, p.Duty), 0.1)
	assert.InDelta(t, middle+1, p.coldest(0, 1, p.Duty), 0.1)

	m, _ := lived(20, 8, nil)
	m.Think(m.set.Budget)
	s := m.Advice().Story
	assert.Less(t, s.Low, s.Coldest)
	assert.Greater(t, s.High, s.Coldest)
	require.Less(t, m.plan.colder, m.plan.warmer)
	assert.Less(t, s.High-s.Low, m.plan.warmer-m.plan.colder, "bed and heat soften it")
	t.Logf("house %+.2f to %+.2f K: coldest %.2f, %.2f to %.2f °C", m.plan.colder, m.plan.warmer, s.Coldest, s.Low, s.High)
}
