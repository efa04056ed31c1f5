package plant

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// tankOnly is a system in which only the tank matters: capacity C, loss UA to a
// fixed ambient, constant power.
func tankOnly(capacity, ua, ambient, watts float64) *system {
	s := &system{capacity: [nodes]float64{capacity, 1, 1, 1, 1, 1}}
	var l laws
	l.power[byElement] = watts
	s.assemble(&l, &temps{})
	for i := range nodes {
		s.k[i][i] += 1e-9 // keeps the other rows alive
	}
	s.k[nTank][nTank] += ua
	s.constant[nTank] += ua * ambient
	return s
}

func (s *system) run(x temps, h float64, until func(seconds float64, x *temps) bool) float64 {
	seconds := 0.0
	for !until(seconds, &x) {
		x, _ = s.step(&x, h)
		seconds += h
	}
	return seconds
}

func TestCoolingCurve(t *testing.T) {
	t.Parallel()
	// Newton's law in closed form: T = Ta + (T0 - Ta) exp(-UA t / C).
	s := tankOnly(78.3e3, 1.5, 5, 0)
	for _, hours := range []float64{1, 6, 14} {
		var got float64
		s.run(temps{nTank: 60}, 60, func(seconds float64, x *temps) bool {
			got = x[nTank]
			return seconds >= hours*3600-1
		})
		want := 5 + 55*math.Exp(-1.5*hours*3600/78.3e3)
		assert.InEpsilon(t, want, got, 1e-6, "%g h", hours)
	}
}

func TestLossLimitedHeatUp(t *testing.T) {
	t.Parallel()
	// Closed form t = -(C/UA) ln((Ts-T1)/(Ts-T0)), Ts = Ta + P/UA. 78.3 kJ/K, 15 to
	// 60 °C, 150 W, 1.5 W/K to 10 °C: 9.3 h (6.5 h without loss).
	for ua, want := range map[float64]float64{1.5: 9.3, 1e-9: 6.5} {
		s := tankOnly(78.3e3, ua, 10, 150)
		seconds := s.run(temps{nTank: 15}, 20, func(_ float64, x *temps) bool { return x[nTank] >= 60 })
		assert.InDelta(t, want, seconds/3600, 0.05)
		if ua > 1 {
			settled := 10 + 150/ua
			exact := -(78.3e3 / ua) * math.Log((settled-60)/(settled-15))
			assert.InEpsilon(t, exact, seconds, 0.001)
		}
	}
}

// The order of the rule shows where everything that bends is taken out: no vents,
// one specific heat.
func TestSecondOrder(t *testing.T) {
	t.Parallel()
	params := AlderHollow()
	params.Tunnel.Vent, params.Greenhouse.Vent = Vent{}, Vent{}
	p, err := New(params, time.Unix(0, 0), Dusk())
	require.NoError(t, err)
	in := p.inputs(time.Minute, Act{Pump: 1, Fans: 1}, weather.Sample{Air: -3, DewPoint: -6})
	p.lay(&in, true)
	p.system.capacity[nTank] = p.tank.capacity(40)
	p.system.assemble(&p.laws, &p.temp)
	end := func(h float64) temps {
		x := p.temp
		for range int(math.Round(256 / h)) {
			x, _ = p.system.step(&x, h)
		}
		return x
	}
	exact := end(0.0625)
	worst := func(h float64) float64 {
		x, e := end(h), 0.0
		for i := range x {
			e = math.Max(e, math.Abs(x[i]-exact[i]))
		}
		return e
	}
	// Halving the step must quarter the error: ratio 4, within the next order's part.
	for _, h := range []float64{4, 2, 1} {
		assert.InDelta(t, 4, worst(h)/worst(h/2), 0.6, "step %g s", h)
	}
	assert.Less(t, worst(16), 0.05, "kelvin, at a working step")
}

func TestSolveAgainstMatrix(t *testing.T) {
	t.Parallel()
	p, err := New(AlderHollow(), time.Unix(0, 0), Dusk())
	require.NoError(t, err)
	in := p.inputs(time.Minute, Act{Pump: 1, Fans: 0.5}, weather.Sample{Air: 2, DewPoint: 0})
	p.lay(&in, true)
	p.system.capacity[nTank] = p.tank.capacity(50)
	p.system.assemble(&p.laws, &p.temp)
	// K x - c must be what the flows take from each node at the same x.
	x := temps{61, 33, 20, 9, 12, 4, p.temp[atOutdoors], p.temp[atSoil], 0}
	var gain temps
	for f := range flows {
		heat := p.laws.at(f, &x)
		gain[ways[f].from] -= heat
		gain[ways[f].to] += heat
	}
	for i := range nodes {
		sum := -p.system.constant[i]
		for j := range nodes {
			sum += p.system.k[i][j] * x[j]
		}
		assert.InDelta(t, -gain[i], sum, 1e-9, "node %d", i)
	}
	p.system.factor(30)
	b := [nodes]float64{1, 2, 3, 4, 5, 6}
	solved := b
	p.system.solve(&solved)
	for i := range nodes {
		sum := p.system.capacity[i] / (gamma * 30) * solved[i]
		for j := range nodes {
			sum += p.system.k[i][j] * solved[j]
		}
		assert.InDelta(t, b[i], sum, 1e-9)
	}
}

func TestBooksNoticeAnError(t *testing.T) {
	t.Parallel()
	p, err := New(AlderHollow(), time.Unix(0, 0), Dusk())
	require.NoError(t, err)
	for range 60 {
		p.Step(time.Minute, Act{Pump: 1, Fans: 1}, weather.Sample{Air: -3, DewPoint: -5})
	}
	heat, _ := p.Imbalance()
	require.Less(t, heat, 1e-12)
	p.temp[nBed] += 0.01
	heat, _ = p.Imbalance()
	assert.Greater(t, heat, 1e-6, "a hundredth of a kelvin in the bed must show")
}

func TestStoreRoundTrip(t *testing.T) {
	t.Parallel()
	p, err := New(AlderHollow(), time.Unix(0, 0), Dusk())
	require.NoError(t, err)
	for at := -30.0; at < 103; at += 0.37 {
		assert.InDelta(t, at, p.tank.temperature(p.tank.heat(at), 20), 1e-9)
	}
}

func TestDerivedConductances(t *testing.T) {
	t.Parallel()
	// 6 m² tunnel of 1.5 m³ at one air change: single cover about 38, double about 25
	// W/K by the middle of the published bands.
	air := AirChange(1500, 1)
	assert.InDelta(t, 38, float64(CoverLoss(6, SingleGlazing)+air), 1)
	assert.InDelta(t, 23, float64(CoverLoss(6, DoubleGlazing)+air), 2)
	assert.InDelta(t, 0.495, float64(air), 0.001)
	assert.Equal(t, quantity.WattPerKelvin(0), AirChange(1500, 0))
}
