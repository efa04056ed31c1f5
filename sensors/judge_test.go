package sensors_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// dusk is when the tests begin; any time will do.
var dusk = time.Date(2026, 3, 14, 18, 0, 0, 0, time.UTC)

// step is one reading, seconds after dusk.
type step struct {
	at    int
	value quantity.Celsius
	cause sensors.Cause // of the driver; zero means Good
	// want is the judge's cause, and believed the value believed after it.
	want     sensors.Cause
	believed quantity.Celsius
}

// tank is limited to 2 K a minute: 1.33 K between readings 10 s apart, with 1 K
// of slack.
var tank = sensors.Limits{
	Lowest: -30, Highest: 120, MaxRate: 2, Slack: 1, Confirm: 3,
	FrozenAfter: 4 * time.Hour, FrozenMove: 2,
}

// reading is a driver's reading at a number of seconds after dusk. Good ones
// come with a scratchpad, as a probe's do.
func reading(probe string, at int, value quantity.Celsius, cause sensors.Cause) sensors.Reading {
	if cause == sensors.NotYet {
		cause = sensors.Good
	}
	r := sensors.Reading{
		Probe: probe, Value: value, HasRaw: true, Cause: cause,
		At: dusk.Add(time.Duration(at) * time.Second),
	}
	if cause != sensors.Good {
		r.Err = errors.New("as the driver says")
	}
	return r
}

func TestJudge(t *testing.T) {
	t.Parallel()
	const good, jump, powerOn = sensors.Good, sensors.Jump, sensors.PowerOn
	rows := []struct {
		name  string
		steps []step
	}{
		{"the first reading stands", []step{{at: 0, value: 60, want: good, believed: 60}}},
		{"slow change", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 61, want: good, believed: 61},
			{at: 20, value: 60.5, want: good, believed: 60.5},
		}},
		{"one wild sample is passed over", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 20, want: jump, believed: 60},
			{at: 20, value: 60.2, want: good, believed: 60.2},
		}},
		{"a hot jump is told at once and believed when confirmed", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 95, want: jump, believed: 60},
			{at: 20, value: 95.3, want: jump, believed: 60},
			{at: 30, value: 95.6, want: good, believed: 95.6},
			{at: 40, value: 95.9, want: good, believed: 95.9},
		}},
		{"a good sample between starts the count anew", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 95, want: jump, believed: 60},
			{at: 20, value: 95, want: jump, believed: 60},
			{at: 30, value: 60, want: good, believed: 60},
			{at: 40, value: 95, want: jump, believed: 60},
			{at: 50, value: 95, want: jump, believed: 60},
			{at: 60, value: 95, want: good, believed: 95},
		}},
		{"wild samples that disagree are never confirmed", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 95, want: jump, believed: 60},
			{at: 20, value: 20, want: jump, believed: 60},
			{at: 30, value: 90, want: jump, believed: 60},
			{at: 40, value: 30, want: jump, believed: 60},
		}},
		{"a silent attempt between does not undo a confirmation", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 95, want: jump, believed: 60},
			{at: 20, cause: sensors.Empty, want: sensors.Empty, believed: 60},
			{at: 30, value: 95, want: jump, believed: 60},
			{at: 40, value: 95, want: good, believed: 95},
		}},
		{"after a gap more change is possible", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 600, value: 80, want: good, believed: 80},
		}},
		{"85 with the power-on mark, far from what it read", []step{
			{at: 0, value: 20, want: good, believed: 20},
			{at: 10, value: 85, cause: powerOn, want: powerOn, believed: 20},
			{at: 20, value: 20.1, want: good, believed: 20.1},
		}},
		{"the power-on value is not confirmed by repeating it", []step{
			{at: 0, value: 20, want: good, believed: 20},
			{at: 10, value: 85, cause: powerOn, want: powerOn, believed: 20},
			{at: 20, value: 85, cause: powerOn, want: powerOn, believed: 20},
			{at: 30, value: 85, cause: powerOn, want: powerOn, believed: 20},
			{at: 40, value: 85, cause: powerOn, want: powerOn, believed: 20},
		}},
		{"the power-on value after a long silence", []step{
			{at: 0, value: 20, want: good, believed: 20},
			{at: 7200, value: 85, cause: powerOn, want: powerOn, believed: 20},
		}},
		{"the power-on value a little too far for the time that passed", []step{
			{at: 0, value: 81, want: good, believed: 81},
			{at: 10, value: 85, cause: powerOn, want: powerOn, believed: 81},
			{at: 20, value: 85, cause: powerOn, want: powerOn, believed: 81},
			{at: 30, value: 85, cause: powerOn, want: powerOn, believed: 81},
			{at: 100, value: 85, cause: powerOn, want: good, believed: 85},
		}},
		{"the power-on value as the first reading", []step{
			{at: 0, value: 85, cause: powerOn, want: powerOn},
			{at: 10, value: 20, want: good, believed: 20},
		}},
		{"a tank that really passes 85 is never lost", []step{
			{at: 0, value: 84, want: good, believed: 84},
			{at: 10, value: 85, want: good, believed: 85},
			{at: 20, value: 86, want: good, believed: 86},
		}},
		{"nor with a probe that always bears the mark", []step{
			{at: 0, value: 84, want: good, believed: 84},
			{at: 10, value: 85, cause: powerOn, want: good, believed: 85},
			{at: 20, value: 85, cause: powerOn, want: good, believed: 85},
			{at: 30, value: 86, want: good, believed: 86},
		}},
		{"a jump to a real 85 is confirmed like any other", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 85, want: jump, believed: 60},
			{at: 20, value: 85, want: jump, believed: 60},
			{at: 30, value: 85, want: good, believed: 85},
		}},
		{"out of range is not believed however often", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: 121, want: sensors.OutOfRange, believed: 60},
			{at: 20, value: 121, want: sensors.OutOfRange, believed: 60},
			{at: 30, value: 121, want: sensors.OutOfRange, believed: 60},
			{at: 40, value: -31, want: sensors.OutOfRange, believed: 60},
		}},
		{"not a number", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, value: quantity.Celsius(math.NaN()), want: sensors.Failed, believed: 60},
			{at: 20, value: quantity.Celsius(math.Inf(1)), want: sensors.Failed, believed: 60},
		}},
		{"driver's causes pass through and believe nothing", []step{
			{at: 0, value: 60, want: good, believed: 60},
			{at: 10, cause: sensors.NothingThere, want: sensors.NothingThere, believed: 60},
			{at: 20, cause: sensors.BadCRC, want: sensors.BadCRC, believed: 60},
			{at: 30, cause: sensors.StuckLow, want: sensors.StuckLow, believed: 60},
			{at: 40, cause: sensors.AllOnes, want: sensors.AllOnes, believed: 60},
			{at: 50, cause: sensors.LowPower, want: sensors.LowPower, believed: 60},
			{at: 60, cause: sensors.TimedOut, want: sensors.TimedOut, believed: 60},
			{at: 70, cause: sensors.Failed, want: sensors.Failed, believed: 60},
		}},
		{"a clock set back allows no more than the slack", []step{
			{at: 100, value: 60, want: good, believed: 60},
			{at: 50, value: 60.9, want: good, believed: 60.9},
			{at: 40, value: 63, want: jump, believed: 60.9},
		}},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			j := sensors.NewJudge(map[string]sensors.Limits{"p": tank})
			for _, s := range row.steps {
				got := j.Consider(reading("p", s.at, s.value, s.cause))
				assert.Equal(t, s.want, got.Last.Cause, "at %d s: %v", s.at, got.Last.Cause)
				assert.Equal(t, s.believed, got.Value, "believed at %d s", s.at)
				if s.want == good {
					assert.NoError(t, got.Last.Err, "at %d s", s.at)
				}
			}
		})
	}
}

// TestJudgeWithoutScratchpad: a source that gives only a figure cannot prove a
// power-on value; exactly 85 °C is then suspected unless it was near before.
func TestJudgeWithoutScratchpad(t *testing.T) {
	t.Parallel()
	bare := func(at int, value quantity.Celsius) sensors.Reading {
		r := reading("p", at, value, sensors.Good)
		r.HasRaw = false
		return r
	}
	j := sensors.NewJudge(map[string]sensors.Limits{"p": tank})
	assert.Equal(t, sensors.PowerOn, j.Consider(bare(0, 85)).Last.Cause)
	assert.False(t, j.Belief("p").Known())
	assert.Equal(t, sensors.Good, j.Consider(bare(10, 84.9375)).Last.Cause)
	assert.Equal(t, sensors.Good, j.Consider(bare(20, 85)).Last.Cause)
}

// TestJudgeShowsTheHotValue: what is not believed is still there to be seen.
func TestJudgeShowsTheHotValue(t *testing.T) {
	t.Parallel()
	j := sensors.NewJudge(map[string]sensors.Limits{"p": tank})
	j.Consider(reading("p", 0, 60, sensors.Good))
	got := j.Consider(reading("p", 10, 95, sensors.Good))
	assert.Equal(t, sensors.QualityDoubtful, got.Quality())
	assert.Equal(t, quantity.Celsius(95), got.Last.Value)
	assert.Equal(t, 10*time.Second, got.Age(got.Last.At), "the believed value ages")
}

func TestJudgeExcuse(t *testing.T) {
	t.Parallel()
	j := sensors.NewJudge(map[string]sensors.Limits{"coil": tank})
	j.Consider(reading("coil", 0, 15, sensors.Good))
	j.Excuse("coil", dusk.Add(30*time.Second))
	assert.Equal(t, sensors.Good, j.Consider(reading("coil", 10, 45, sensors.Good)).Last.Cause)
	assert.Equal(t, sensors.PowerOn, j.Consider(reading("coil", 20, 85, sensors.PowerOn)).Last.Cause,
		"an excuse covers jumps, not the power-on value")
	assert.Equal(t, sensors.Jump, j.Consider(reading("coil", 40, 15, sensors.Good)).Last.Cause,
		"the excuse is over")
}

func TestJudgeFrozen(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		other func(hour int) quantity.Celsius
		self  func(hour int) quantity.Celsius
		want  sensors.Cause
	}{
		{"others moved", func(h int) quantity.Celsius { return quantity.Celsius(20 - h) },
			func(int) quantity.Celsius { return 40 }, sensors.Frozen},
		{"others moved and came back", func(h int) quantity.Celsius { return quantity.Celsius(20 + 3*(h%2)) },
			func(int) quantity.Celsius { return 40 }, sensors.Frozen},
		{"nothing moved", func(int) quantity.Celsius { return 20 },
			func(int) quantity.Celsius { return 40 }, sensors.Good},
		{"it moved too, by one step", func(h int) quantity.Celsius { return quantity.Celsius(20 - h) },
			func(h int) quantity.Celsius { return 40 + quantity.Celsius(h/3)/16 }, sensors.Good},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			j := sensors.NewJudge(map[string]sensors.Limits{"p": tank, "q": tank})
			var last sensors.Belief
			for hour := range 6 {
				j.Consider(reading("q", hour*3600, row.other(hour), sensors.Good))
				last = j.Consider(reading("p", hour*3600, row.self(hour), sensors.Good))
			}
			assert.Equal(t, row.want, last.Last.Cause)
			if row.want == sensors.Frozen {
				assert.Equal(t, time.Hour, last.Age(last.Last.At), "believed up to four hours")
				thawed := j.Consider(reading("p", 6*3600, 40.0625, sensors.Good))
				assert.Equal(t, sensors.Good, thawed.Last.Cause)
			}
		})
	}
}

// TestJudgeSameAttemptTwice: the loop may ask more often than the probes are
// read, and must not confirm a jump by that.
func TestJudgeSameAttemptTwice(t *testing.T) {
	t.Parallel()
	j := sensors.NewJudge(map[string]sensors.Limits{"p": tank})
	j.Consider(reading("p", 0, 60, sensors.Good))
	for range 10 {
		assert.Equal(t, sensors.Jump, j.Consider(reading("p", 10, 95, sensors.Good)).Last.Cause)
	}
	before := j.Consider(sensors.Reading{Probe: "p"})
	assert.Equal(t, sensors.Jump, before.Last.Cause, "not read yet changes nothing")
}

func TestJudgeUnknownProbe(t *testing.T) {
	t.Parallel()
	j := sensors.NewJudge(nil)
	never := j.Belief("p")
	assert.False(t, never.Known())
	assert.Equal(t, sensors.NotYet, never.Last.Cause)
	assert.Equal(t, sensors.QualityBad, never.Quality())
	assert.Equal(t, sensors.Good, j.Consider(reading("p", 0, 20, sensors.Good)).Last.Cause)
	assert.Equal(t, sensors.OutOfRange, j.Consider(reading("p", 10, 126, sensors.Good)).Last.Cause)
}

// TestJudgeInvariants: whatever comes in, a believed value is finite, within
// the limits and Good, and a row of agreeing readings is always believed in the
// end, so that no probe is locked out.
func TestJudgeInvariants(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := sensors.NewJudge(map[string]sensors.Limits{"p": tank})
		at := 0
		for range rapid.IntRange(1, 40).Draw(t, "readings") {
			at += rapid.IntRange(-5, 600).Draw(t, "seconds")
			value := quantity.Celsius(rapid.Float64().Draw(t, "value"))
			if rapid.Bool().Draw(t, "plausible") {
				value = quantity.Celsius(rapid.IntRange(-60*16, 130*16).Draw(t, "sixteenths")) / 16
			}
			cause := sensors.Cause(rapid.IntRange(0, 13).Draw(t, "cause"))
			got := j.Consider(reading("p", at, value, cause))
			if got.Known() {
				require.True(t, quantity.Finite(got.Value))
				require.GreaterOrEqual(t, got.Value, tank.Lowest)
				require.LessOrEqual(t, got.Value, tank.Highest)
			}
			if got.Last.Cause == sensors.Good {
				require.Equal(t, got.Value, got.Last.Value)
				require.Equal(t, got.At, got.Last.At)
			}
		}
		settled := quantity.Celsius(rapid.IntRange(-29*16, 119*16).Draw(t, "settled")) / 16
		for range tank.Confirm {
			at += 10
			j.Consider(reading("p", at, settled, sensors.Good))
		}
		require.Equal(t, settled, j.Belief("p").Value)
	})
}
