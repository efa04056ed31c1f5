package sensors_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

func TestPowerLimitsConsider(t *testing.T) {
	t.Parallel()
	limits := sensors.PowerLimits{LowestVolts: 5, HighestVolts: 16, MostAmps: 10}
	held := sensors.PowerBelief{Volts: 12.6, Amps: -1, At: dusk}
	rows := []struct {
		name     string
		power    sensors.Power
		want     sensors.Cause
		believed quantity.Volt
	}{
		{"good", sensors.Power{Volts: 12.5, Amps: -2, Cause: sensors.Good}, sensors.Good, 12.5},
		{"volts not a number", sensors.Power{Volts: quantity.Volt(math.NaN()), Cause: sensors.Good}, sensors.Failed, 12.6},
		{"amperes infinite", sensors.Power{Volts: 12, Amps: quantity.Ampere(math.Inf(-1)), Cause: sensors.Good}, sensors.Failed, 12.6},
		{"too low", sensors.Power{Volts: 0.1, Cause: sensors.Good}, sensors.OutOfRange, 12.6},
		{"too high", sensors.Power{Volts: 24, Cause: sensors.Good}, sensors.OutOfRange, 12.6},
		{"charging beyond belief", sensors.Power{Volts: 12, Amps: 11, Cause: sensors.Good}, sensors.OutOfRange, 12.6},
		{"drawing beyond belief", sensors.Power{Volts: 12, Amps: -11, Cause: sensors.Good}, sensors.OutOfRange, 12.6},
		{"meter gone", sensors.Power{Volts: 12, Cause: sensors.NothingThere}, sensors.NothingThere, 12.6},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.power.At = dusk.Add(10 * time.Second)
			got := limits.Consider(held, row.power)
			assert.Equal(t, row.want, got.Last.Cause)
			assert.Equal(t, row.believed, got.Volts)
			wantAge := 10 * time.Second
			if row.want == sensors.Good {
				wantAge = 0
				assert.NoError(t, got.Last.Err)
			}
			assert.Equal(t, wantAge, got.Age(row.power.At))
		})
	}
	assert.Equal(t, held, limits.Consider(held, sensors.Power{}), "not read yet changes nothing")
	assert.False(t, sensors.PowerBelief{}.Known())
}
