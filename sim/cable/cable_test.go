package cable_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors/quantity"
	"duskloop/sim/cable"
)

// 5 m of 1.5 mm² at 3 A lose 0.36 V, 3 % of 12 V: 2 L rho I / A, reckoned by hand.
func TestDrop(t *testing.T) {
	t.Parallel()
	p := cable.Pair{Length: 5, Section: 1.5}
	assert.InDelta(t, 0.356, float64(p.Drop(3)), 0.0005)
	assert.InDelta(t, 0.1187, float64(p.Resistance()), 0.0001)
	assert.InDelta(t, 1.5, float64(cable.Section(5, 3, p.Drop(3))), 1e-9)
}

// A fuse lies between the load and what the cable carries: 0.8 of it flows at most.
func TestFuse(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		load, carries, want quantity.Ampere
		ok                  bool
	}{
		{3, 15, 4, true}, {2.4, 15, 3, true}, {8, 10, 10, true}, {8.1, 10, 15, false}, {8.1, 0, 15, true}, {200, 300, 0, false},
	} {
		got, ok := cable.Pair{Length: 1, Section: 1.5, Carries: row.carries}.Fuse(row.load)
		assert.InDelta(t, float64(row.want), float64(got), 0, "%v", row)
		assert.Equal(t, row.ok, ok, "%v", row)
	}
}

func TestNoSuchCable(t *testing.T) {
	t.Parallel()
	assert.NoError(t, cable.Pair{Length: 5, Section: 1.5, Carries: 15}.Validate())
	for _, p := range []cable.Pair{{}, {Length: -1, Section: 1}, {Length: 1, Section: 0.01}, {Length: 1, Section: 1, Carries: -2}, {Length: 1e4, Section: 1}} {
		assert.ErrorIs(t, p.Validate(), cable.ErrRange, "%+v", p)
	}
}

// Wire gauges against the table of ASTM B258 (from memory): 14 AWG is 2.08 mm², 10 AWG
// 5.26 mm², 20 AWG 0.519 mm².
func TestGauges(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]float64{"14 AWG": 2.081, "10AWG": 5.261, "20 AWG": 0.518, "2.5 mm2": 2.5, "4mm²": 4} {
		var a quantity.SquareMillimetre
		assert.NoError(t, a.Set(text))
		assert.InEpsilon(t, want, float64(a), 0.001, text)
	}
	for _, text := range []string{"", "x AWG", "41 AWG", "-1 AWG", "2.5", "2.5 m"} {
		assert.ErrorIs(t, new(quantity.SquareMillimetre).Set(text), quantity.ErrUnit, text)
	}
}
