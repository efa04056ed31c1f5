package vessel

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
)

// mix is w = 0.240 of glycerin as the worked example has it: density by Volk & Kähler
// 2018; water's vapour by A. L. Buck 1996 (within 0.11 % of IAPWS-IF97 to 100 °C)
// times a water activity of 0.932 (0.934 cold). Written here, so that nothing of
// sim/fluid stands in the comparison.
func mix() Liquid {
	return Liquid{
		Density: func(at quantity.Celsius) (float64, error) {
			t, w := float64(at), 0.240
			water, glycerol := 1000*(1-math.Pow(math.Abs((t-3.98)/615), 1.71)), 1273.3-0.6121*t
			volume := w / glycerol / (w/glycerol + (1-w)/water)
			grow := 1 + (1.78e-6*t*t-1.82e-4*t+1.41e-2)*math.Pow(math.Sin(math.Pi*math.Pow(w, 1.31)), 0.81)
			return (glycerol*volume + water*(1-volume)) * grow, nil
		},
		Doubt: 0.005,
		Vapour: func(at quantity.Celsius) (quantity.Kilopascal, error) {
			t := float64(at)
			return quantity.Kilopascal(0.932 * 0.61121 * math.Exp((18.678-t/234.5)*t/(257.14+t))), nil
		},
	}
}

func filled(inside quantity.Litre) Vessel {
	return Vessel{Inside: inside, Liquid: 4.971, Closed: 20, Air: 101.325}
}

// The worked example, computed outside this program: 5.2539 kg of w 0.240 closed at
// 20 °C and 101.325 kPa. 6.00 L at 95 °C: 230 kPa absolute; at 110 °C 301.
func TestWorkedExample(t *testing.T) {
	t.Parallel()
	for at, want := range map[quantity.Celsius]float64{95: 230, 110: 301} {
		p, err := filled(6.00).At(at, mix())
		require.NoError(t, err)
		assert.InEpsilon(t, want, float64(p.Likely), 0.02, "%v", at)
		assert.False(t, p.Full)
		assert.Greater(t, p.High, p.Likely)
		assert.Less(t, p.Low, p.Likely)
		assert.Less(t, float64(p.High), 1.1*want, "half a percent of density is a few percent here")
	}
	p, err := filled(6.00).At(20, mix())
	require.NoError(t, err)
	assert.InDelta(t, 101.325, float64(p.Likely), 1e-9, "as closed")
}

// Headspace decides: 5.30 L gives 358 kPa, 5.20 L 688 kPa (same source). Both have less
// than a tenth of room, so the answer is no number; the formula is checked below it.
func TestTooLittleRoomIsFull(t *testing.T) {
	t.Parallel()
	for inside, want := range map[quantity.Litre]float64{5.30: 358, 5.20: 688} {
		v := filled(inside)
		c, err := v.change(95, mix())
		require.NoError(t, err)
		assert.InEpsilon(t, want, float64(v.pressure(c, c.swollen)), 0.02, "%v", inside)
		p, err := v.At(95, mix())
		require.NoError(t, err)
		assert.True(t, p.Full)
		assert.True(t, math.IsInf(float64(p.High), 1), "without bound")
	}
	p, err := filled(5.152).At(95, mix())
	require.NoError(t, err)
	assert.True(t, p.Full)
	assert.True(t, math.IsInf(float64(p.Likely), 1), "5.153 L of liquid do not fit")
	assert.Zero(t, p.Room)
}

// The ten percent are judged by the least room that may be left: 5.153 L of liquid at 95
// °C in 5.738 L leave 10.2 %, half a percent less of density 9.7 %.
func TestRoomIsJudgedByItsLeast(t *testing.T) {
	t.Parallel()
	p, err := filled(5.738).At(95, mix())
	require.NoError(t, err)
	assert.InDelta(t, 0.097, float64(p.Room), 0.001)
	assert.True(t, p.Full)
	p, err = filled(5.80).At(95, mix())
	require.NoError(t, err)
	assert.False(t, p.Full, "11.2 % likely, 10.7 % at the least")
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	cold := errors.New("too cold to know")
	blind := mix()
	blind.Density = func(quantity.Celsius) (float64, error) { return 0, cold }
	_, err := filled(6).At(50, blind)
	require.ErrorIs(t, err, cold)
	nan := quantity.Litre(math.NaN())
	for name, v := range map[string]Vessel{
		"overfull": filled(4.9), "empty": {Inside: 5, Closed: 20, Air: 101}, "vacuum": {Inside: 6, Liquid: 5, Closed: 20, Air: 1},
		"no number": {Inside: nan, Liquid: 5, Closed: 20, Air: 101},
	} {
		_, err := v.At(50, mix())
		require.ErrorIs(t, err, ErrRange, name)
	}
}

// Hotter is never less pressure, more room never more, and the band holds its middle.
func TestSense(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		v := filled(quantity.Litre(rapid.Float64Range(5, 20).Draw(rt, "inside")))
		at := quantity.Celsius(rapid.Float64Range(20, 100).Draw(rt, "at"))
		p, err := v.At(at, mix())
		require.NoError(t, err)
		hotter, err := v.At(at+1, mix())
		require.NoError(t, err)
		v.Inside += 0.5
		roomier, err := v.At(at, mix())
		require.NoError(t, err)
		assert.LessOrEqual(t, p.Low, p.Likely)
		assert.LessOrEqual(t, p.Likely, p.High)
		assert.GreaterOrEqual(t, hotter.High, p.High)
		assert.LessOrEqual(t, roomier.High, p.High)
		assert.Equal(t, p.Room < LeastRoom, p.Full)
	})
}
