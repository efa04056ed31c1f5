package nightly

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/record"
	"duskloop/control"
)

// noon begins the night that is worked out by hand; a reading an hour.
var noon = time.Date(2026, 1, 15, 17, 0, 0, 0, time.UTC)

// zone is where noon is noon.
var zone = time.FixedZone("EST", -5*3600)

// hour of the night, from noon.
func hour(h float64) time.Time { return noon.Add(time.Duration(h * float64(time.Hour))) }

// byHand are the rules of that night: pump 8 W, fans 4 W, coil 20 W/K, minimum 5 °C, dusk at
// 17:10 and dawn at 7:20 by the clock.
func byHand() Rules {
	s := control.Settings{Carry: control.Carry{PumpDuty: 1, FanDuty: 0.5}}
	return Rules{
		From: noon.In(zone), To: hour(24).In(zone), Now: hour(100), Dusk: hour(5 + 1.0/6), Dawn: hour(19 + 1.0/3),
		Period: time.Hour, Minimum: 5, Coil: 20, Pump: 8, Fans: 4, Settings: &s,
	}
}

// airs are the tunnel's from noon on, °C.
var airs = [24]float64{10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 4, 3, 1, 2, 4.5, 6, 6, 6, 6, 6, 6, 6}

// tanks are the tank's, °C.
var tanks = [24]float64{50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 45, 41, 31, 4.5, 7, 7, 7, 7, 20, 30, 40, 40}

// row is the reading of an hour of the night: it ran fully from one to three.
func row(h int) record.Reading {
	x := record.Reading{At: hour(float64(h)), Loop: "bench", Charge: record.Known(0.9-0.01*float64(h), 0), Band: 0.05}
	x.Places[control.Tunnel], x.Places[control.Tank] = record.Known(airs[h], 0), record.Known(tanks[h], 0)
	if h == 13 || h == 14 {
		x.Outputs.Pump, x.Outputs.Fans = 1, 0.5
	}
	return x
}

// summed is that night, but for hours that were not recorded.
func summed(r Rules, missing ...int) *Sum {
	s := NewSum(r)
	for h := range 24 {
		left := false
		for _, m := range missing {
			left = left || m == h
		}
		if x := row(h); !left {
			s.Add(&x)
		}
	}
	s.Close()
	return s
}

// Coldest 1 °C at two in the morning. Below 5 °C: 1, 2, 4, 3 and 0.5 K for an hour each,
// 1 + 4 + 16 + 9 + 0.25 = 30.25 K²h. Heat 20·(41-3) + 20·(31-1) = 1360 Wh, for two hours at
// 8 + 4 W, 24 Wh. Charged 90 % at noon and 1 % an hour less.
func TestANightByHand(t *testing.T) {
	t.Parallel()
	s := summed(byHand())
	n := s.Night()
	assert.Equal(t, "2026-01-15", n.Date)
	assert.InDelta(t, 1, *n.ColdestC, 1e-9)
	assert.Equal(t, time.Date(2026, 1, 16, 7, 0, 0, 0, time.UTC), *n.ColdestAt)
	assert.InDelta(t, 30.25, *n.Squared, 1e-9)
	assert.InDelta(t, 1360, *n.HeatWh, 1e-9)
	assert.InDelta(t, 24, *n.BatteryWh, 1e-9)
	assert.InDelta(t, 7200, n.RanS, 1e-9)
	assert.InDelta(t, 85, *n.ChargeDuskPct, 1e-9, "at five, ten minutes before dusk")
	assert.InDelta(t, 71, *n.ChargeDawnPct, 1e-9, "at seven")
	assert.InDelta(t, 5, *n.ChargeDuskBandPct, 1e-9)
	assert.InDelta(t, 76, *n.ChargeColdestPct, 1e-9)
	assert.InDelta(t, 100, n.RecordedPct, 1e-9)
	assert.Empty(t, n.Gaps)
	assert.False(t, n.Running)
	assert.True(t, n.Whole())
	assert.Nil(t, n.HeatLastedTo, "nothing was told, so nothing is compared")
	assert.InDelta(t, 10, float64(s.Highest), 1e-9)
}

// What ran at half speed gives the root of the conductance and draws 0.1 + 0.9·0.5^2.5 of
// the power (control/night/duty.go): 20·√½·38 Wh in an hour, 12·0.2591 Wh.
func TestAVariedSpeedByHand(t *testing.T) {
	t.Parallel()
	s := NewSum(byHand())
	x := row(13)
	x.Outputs.Pump, x.Outputs.Fans = 0.5, 0.25
	s.Add(&x)
	y := row(15)
	y.At = hour(14)
	s.Add(&y)
	n := s.Night()
	assert.InDelta(t, 537.4, *n.HeatWh, 0.05)
	assert.InDelta(t, 3.1, *n.BatteryWh, 0.05)
	pump, fans := s.Runs(hour(13.5))
	assert.InDelta(t, 0.5, float64(pump), 1e-6)
	assert.InDelta(t, 0.5, float64(fans), 1e-6)
	pump, _ = s.Runs(hour(14.5))
	assert.Zero(t, pump)
}

// Six hours are missing: 18:00 holds for one period, then nothing is known until one. The
// hour from midnight, 1 K²h, is not counted, and the night says that it is not whole.
func TestAGapIsSaidAndNotCounted(t *testing.T) {
	t.Parallel()
	n := summed(byHand(), 7, 8, 9, 10, 11, 12).Night()
	require.Equal(t, []Gap{{hour(7), hour(13)}}, n.Gaps)
	assert.InDelta(t, 75, n.RecordedPct, 1e-9)
	assert.False(t, n.Whole())
	assert.InDelta(t, 29.25, *n.Squared, 1e-9)
	assert.InDelta(t, 1, *n.ColdestC, 1e-9)
}

// A probe that is lost keeps its last value with its age: it holds no longer than a gap, and
// heat carried meanwhile is not made up.
func TestALostProbeIsAGap(t *testing.T) {
	t.Parallel()
	s := NewSum(byHand())
	for h := range 24 {
		x := row(h)
		if h >= 11 && h < 16 {
			x.Places[control.Tunnel] = record.Known(10, time.Duration(h-10)*time.Hour)
		}
		s.Add(&x)
	}
	s.Close()
	n := s.Night()
	assert.InDelta(t, 100*22.0/24, n.RecordedPct, 0.05, "three hours it may stand, two it may not")
	assert.InDelta(t, 4.5, *n.ColdestC, 1e-9)
	assert.InDelta(t, 0.25, *n.Squared, 1e-9)
	assert.InDelta(t, 3600, n.HeatUnseenS, 1e-9, "of the two hours that it ran the second")
	assert.InDelta(t, 20*31, *n.HeatWh, 1e-9)
}

// From dusk to dawn, 14 h 10 min: 50 °C at five, 7 °C at seven; a tank of 180 kJ/K so fell by
// 43 K, 2150 Wh. Beside a greenhouse at 0 °C and by 0.5 W/K it lost half of the sum of the hours'
// temperatures: 50 from 17:10 on for 50 min and six hours more, then 45, 41, 31, 4.5, 7, 7, 7
// and a third of 7 (7:00 to 7:20): 0.5·(50·6.833 + 142.5 + 2.333) Wh.
func TestWhatTheTankGave(t *testing.T) {
	t.Parallel()
	r := byHand()
	r.TankHeat, r.TankLoss = 180e3, 0.5
	for _, house := range []bool{true, false} {
		s := NewSum(r)
		for h := range 24 {
			x := row(h)
			if house {
				x.Places[control.Greenhouse] = record.Known(0, 0)
			}
			s.Add(&x)
		}
		s.Close()
		n := s.Night()
		if !house {
			assert.Nil(t, n.TankGaveWh, "what it lost is not known")
			continue
		}
		assert.InDelta(t, 2150-0.5*(50*(6+50.0/60)+142.5+7.0/3), *n.TankGaveWh, 0.06)
	}
}

// By day a warm tunnel warms the tank: 20 W/K · (25 - 15) K for an hour are 200 Wh gathered,
// and none of them are heat spent.
func TestGatheredIsNoHeatSpent(t *testing.T) {
	t.Parallel()
	s := NewSum(byHand())
	x := row(1)
	x.Outputs.Pump, x.Outputs.Fans = 1, 0.5
	x.Places[control.Tunnel], x.Places[control.Tank] = record.Known(25, 0), record.Known(15, 0)
	y := row(2)
	s.Add(&x)
	s.Add(&y)
	n := s.Night()
	assert.InDelta(t, 200, *n.GatheredWh, 1e-9)
	assert.Zero(t, *n.HeatWh)
}

// One that still runs is marked, and judged by what there is of it yet.
func TestANightThatRuns(t *testing.T) {
	t.Parallel()
	r := byHand()
	r.Now = hour(14.5)
	s := NewSum(r)
	for h := range 15 {
		x := row(h)
		s.Add(&x)
	}
	s.Close()
	n := s.Night()
	assert.True(t, n.Running)
	assert.InDelta(t, 100, n.RecordedPct, 1e-9)
	assert.InDelta(t, 1+4+16*0.5, *n.Squared, 1e-9)
	assert.Nil(t, n.ChargeDawnPct)
}

// Nothing recorded is nothing known: no zero stands for it.
func TestANightWithoutReadings(t *testing.T) {
	t.Parallel()
	s := NewSum(byHand())
	s.Close()
	n := s.Night()
	assert.Nil(t, n.ColdestC)
	assert.Nil(t, n.Squared)
	assert.Nil(t, n.HeatWh)
	assert.Zero(t, n.RecordedPct)
	assert.Equal(t, []Gap{{noon, hour(24)}}, n.Gaps)
}

// A clock that is set back by an hour: what passed by it is counted, before and after, and the
// jump itself is not.
func TestAClockSetBack(t *testing.T) {
	t.Parallel()
	s := NewSum(byHand())
	for _, h := range []int{12, 13, 12, 13, 14} {
		x := row(h)
		x.Outputs = control.Outputs{}
		s.Add(&x)
	}
	assert.InDelta(t, 1+1+4, s.Squared, 1e-9, "midnight to one was lived twice, one to two once")
}
