package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
)

func TestColdLocksChargeUp(t *testing.T) {
	t.Parallel()
	// Lead-acid capacity 80 to 85 % at 0 °C, 60 to 70 % at -15 °C of that at 25 °C (common
	// ranges, from memory): the middles.
	for at, want := range map[quantity.Celsius]float64{40: 0, 25: 0, 12.5: 0.0875, 0: 0.175, -15: 0.35, -40: 0.35} {
		for _, kind := range []Chemistry{Flooded, AGM} {
			assert.InDelta(t, want, float64(lockedByCold(kind, known{at, true})), 1e-9, "%v", at)
		}
		assert.Zero(t, lockedByCold(LFP, known{at, true}), "LiFePO4 does not freeze")
	}
	assert.Zero(t, lockedByCold(AGM, known{-15, false}), "not known counts as warm")
}

// A lead-acid battery at 40 % of charge freezes near -9 °C (a weak source): the floor must
// not let it come there, and at -15 °C stand above it.
func TestFloorsKeepTheAcidLiquid(t *testing.T) {
	t.Parallel()
	for _, kind := range []Chemistry{Flooded, AGM} {
		b := Battery{Chemistry: kind, Reserve: 0.5, Recovery: 0.08, CutOff: 11.95, Reconnect: 12.5}
		at := func(c quantity.Celsius) quantity.Share { return RestCharge(kind, b.floors(known{c, true}).cutOff) }
		assert.Greater(t, float64(at(-9)), 0.36, "%v", kind)
		assert.Greater(t, float64(at(-15)), 0.40, "%v", kind)
		assert.InDelta(t, float64(RestCharge(kind, 11.95)), float64(at(25)), 1e-9)
	}
}

func TestFloorsRiseAndStayWithinReach(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		b := Battery{
			Chemistry: Chemistry(rapid.IntRange(0, 2).Draw(rt, "kind")),
			Reserve:   quantity.Share(rapid.Float64Range(0.1, 0.8).Draw(rt, "reserve")), Recovery: 0.08,
			CutOff: quantity.Volt(rapid.Float64Range(11.5, 12.2).Draw(rt, "cut-off")),
		}
		b.Reconnect = b.CutOff + quantity.Volt(rapid.Float64Range(0.2, 0.6).Draw(rt, "more"))
		cold := quantity.Celsius(rapid.Float64Range(-40, 40).Draw(rt, "cold"))
		f, warmer := b.floors(known{cold, true}), b.floors(known{cold + 5, true})
		require.GreaterOrEqual(rt, f.cutOff, warmer.cutOff)
		require.GreaterOrEqual(rt, f.reserve, warmer.reserve)
		require.GreaterOrEqual(rt, f.cutOff, b.CutOff)
		require.GreaterOrEqual(rt, f.reconnect, b.Reconnect)
		require.LessOrEqual(rt, f.reserve, max(b.Reserve, highestReserve-b.Recovery))
		if b.Reconnect <= restCurve(b.Chemistry).top()-topMargin {
			require.LessOrEqual(rt, f.reconnect, restCurve(b.Chemistry).top()-topMargin, "a full battery comes back")
		}
	})
}

func TestCurveBothWays(t *testing.T) {
	t.Parallel()
	for _, kind := range []Chemistry{Flooded, AGM, LFP} {
		k := restCurve(kind)
		for s := quantity.Share(0); s <= 1; s += 0.01 {
			back, _ := k.read(k.at(s))
			assert.InDelta(t, float64(s), float64(back), 1e-9)
		}
	}
}

// The same voltage that is fine in the warm cuts off in the frost, and says why.
func TestColdBatteryIsCutOffSooner(t *testing.T) {
	t.Parallel()
	run := func(at quantity.Celsius) *rig {
		r := newRig()
		r.s.Battery.Where, r.s.Battery.Placed = Outdoors, true
		r.temp(Outdoors, at)
		r.in.Meter.Volts, r.in.Meter.Amps = 12.1, -0.1
		r.step(30)
		return r
	}
	assert.False(t, run(20).st.Battery.CutOff)
	r := run(-14)
	assert.True(t, r.st.Battery.CutOff)
	assert.True(t, r.active(AlertBatteryCutOff))
}

func TestColdLithiumMustNotBeCharged(t *testing.T) {
	t.Parallel()
	r := newRig()
	r.s.Battery.Chemistry = LFP
	r.s.Battery.Where, r.s.Battery.Placed = Outdoors, true
	r.in.Meter.Volts, r.in.Meter.Amps = 13.4, 2
	r.temp(Outdoors, 5)
	r.step(30)
	assert.False(t, r.active(AlertColdCharge))
	r.temp(Outdoors, 1)
	r.step(int(2 * time.Minute / tick))
	assert.True(t, r.active(AlertColdCharge))
	r.in.Meter.Amps = -0.2
	r.step(2)
	assert.False(t, r.active(AlertColdCharge), "over once it is not charged")

	lead := newRig()
	lead.s.Battery.Where, lead.s.Battery.Placed = Outdoors, true
	lead.in.Meter.Volts, lead.in.Meter.Amps = 13.4, 2
	lead.temp(Outdoors, -5)
	lead.step(30)
	assert.False(t, lead.active(AlertColdCharge), "lead-acid may be charged in the cold")
}
