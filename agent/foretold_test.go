package agent

import (
	"context"
	"fmt"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/internal/saidtest"
	"duskloop/agent/mqtt"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/sim/sun"
)

// forecastAt is a forecast of so many hours of air that begins at a time.
func forecastAt(from time.Time, hours int) string {
	return fmt.Sprintf(`{"from":%q,"step_s":3600,"air_c":[%s]}`, from.Format(time.RFC3339),
		strings.TrimSuffix(strings.Repeat("1.5,", hours), ","))
}

// A forecast published to a real broker is in the mind's hands; one that cannot be, or
// begins next month, is not, and the loop goes on.
func TestAForecastReachesTheMind(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	file := config.Demo()
	file.Loop().Carry.Spend = config.ByPlan
	l, stop := standing(t, file, newMemory())
	require.NotNil(t, l.tonight.mind)
	rec, err := record.Open(filepath.Join(t.TempDir(), RecordName), record.Options{})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, rec.Close()) })
	log := new(saidtest.Text)
	feed, err := mqtt.New(rec, mqtt.Options{Address: broker.Addr, Log: slog.New(slog.NewTextHandler(log, nil))})
	require.NoError(t, err)
	took := make(chan error, 10)
	require.NoError(t, feed.Start(mqtt.Line{Name: "bench", Submit: l.Submit, Foretell: func(ctx context.Context, data []byte) error {
		err := l.Foretell(ctx, data)
		took <- err
		return err
	}}))
	t.Cleanup(func() { _ = feed.Stop(context.Background()) })
	c := mosquittotest.Subscribe(t, broker.Addr, "duskloop/#")
	c.AwaitOn("duskloop/bench/settings", 1)
	next := func() error {
		select {
		case err := <-took:
			return err
		case <-time.After(20 * time.Second):
			return fmt.Errorf("nothing came")
		}
	}

	c.Publish("duskloop/bench/forecast", strings.Replace(forecastAt(winterDusk, 48), "1.5", "150", 1), false)
	require.ErrorIs(t, next(), wire.ErrForecast)
	c.Publish("duskloop/bench/forecast", forecastAt(winterDusk.AddDate(0, 1, 0), 48), false)
	require.ErrorContains(t, next(), "31 d from now")
	require.Eventually(t, func() bool { return 0 < log.Count("forecast not taken") }, 20*time.Second, time.Millisecond)
	c.Publish("duskloop/bench/forecast", forecastAt(winterDusk, 48), false)
	require.NoError(t, next())
	assert.True(t, submitted(t, l, `{"hand":"end"}`).Accepted, "the loop goes on")
	stop()
	told, ok := l.tonight.mind.Told()
	require.True(t, ok)
	assert.True(t, winterDusk.Equal(told.From))
	assert.Len(t, told.Air, 48)
}

// A loop whose heat is spent by difference has no use for a forecast, and says so.
func TestNoPlanNoForecast(t *testing.T) {
	t.Parallel()
	file := config.Demo()
	file.Loop().Carry.Spend = config.ByDifference
	l, _ := standing(t, file, newMemory())
	require.ErrorIs(t, l.Foretell(t.Context(), []byte(forecastAt(winterDusk, 3))), ErrNotPlanned)
}

// Sun on the level turns with the plane: at noon in January at 36° north a cloudless 520
// W/m² are about 1000 on a plane of 60° to the south, the ratio of the cosines of beam
// alone being 2 (Duffie & Beckman, Solar Engineering of Thermal Processes, 4th ed. 2013,
// eq. 1.8.1: cos(36.1-60+21)/cos(36.1+21) = 1.84); at night nothing comes of anything.
func TestSunTurnsIntoThePlane(t *testing.T) {
	t.Parallel()
	site := sun.Site{Latitude: 36.1, Longitude: -79.95, Elevation: 273}
	plane := sun.Plane{Tilt: 60, Facing: 180, Albedo: sun.Ground}
	f := wire.Forecast{From: time.Date(2026, 1, 15, 17, 0, 0, 0, time.UTC), StepS: 3600, AirC: []float64{1}, SunW: []float64{520}}
	assert.InDelta(t, 0.95, inPlane(&f, site, plane)[0], 0.1)
	f.From = time.Date(2026, 1, 15, 5, 0, 0, 0, time.UTC)
	assert.Zero(t, inPlane(&f, site, plane)[0])
	f.SunW = nil
	assert.Empty(t, inPlane(&f, site, plane))
}
