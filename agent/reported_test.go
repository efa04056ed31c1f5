package agent

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// shownSight is a greenhouse in which nothing moves.
type shownSight struct{ look *Look }

func (s shownSight) Look(time.Time) Look { return *s.look }

func (shownSight) Apply(control.Outputs) error { return nil }

func (shownSight) Rest() error { return nil }

func reportOf(t *testing.T, l *Loop) *wire.Report {
	t.Helper()
	a := submitted(t, l, `{"readings":true}`)
	require.True(t, a.Accepted, a.Reason)
	require.NotNil(t, a.Readings)
	return a.Readings
}

// Readings are told as the last cycle had them, with what is wrong and old; to ask changes
// and records nothing.
func TestReadingsAreReported(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	f.Daemon.PanelRatio = 11
	now, probes := winterDusk, f.Loop().Probes
	attempt := func(p control.Place, v quantity.Celsius, ago time.Duration, cause sensors.Cause) sensors.Reading {
		return sensors.Reading{Probe: string(probes[p].ID), Value: v, At: now.Add(-ago), Cause: cause}
	}
	look := Look{Power: sensors.Power{Volts: 12.7, Panel: 18.5, PanelOK: true, At: now.Add(-time.Second), Cause: sensors.Good}}
	for p := range control.Places {
		look.Probes[p] = attempt(p, 0, 0, sensors.Failed)
	}
	look.Probes[control.Tank] = attempt(control.Tank, 41.25, 2*time.Second, sensors.Good)
	look.Probes[control.Greenhouse] = attempt(control.Greenhouse, 7.5, 2*time.Second, sensors.Good)
	f.Loop().Probes[control.Outdoors].ID = ""
	m := newMemory()
	ticked := make(chan struct{}, 3)
	l, err := NewLoop(Setup{After: func(Cycle) { ticked <- struct{}{} }, File: f, Clock: &stillClock{now}, Sight: shownSight{&look}, Hands: shownSight{}, Record: m, Log: quiet(), Trusted: func() bool { return true }})
	require.NoError(t, err)
	_, err = l.reported()
	require.ErrorContains(t, err, "nothing was read yet")
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); _ = l.Run(ctx) }()
	<-ticked
	x := reportOf(t, l)
	assert.Equal(t, now.UTC(), x.At)
	assert.InDelta(t, f.Daemon.Period.Duration().Seconds(), x.PeriodS, 1e-9)
	by := make(map[string]wire.Reported)
	for _, r := range x.Places {
		by[r.Place] = r
	}
	assert.Equal(t, wire.Reported{Place: "tank", V: optional(41.25, true), AgeS: 2, Fresh: true}, by["tank"])
	assert.Equal(t, wire.Reported{Place: "greenhouse", V: optional(7.5, true), AgeS: 2, Fresh: true}, by["greenhouse"])
	assert.False(t, by["coil"].Fresh)
	assert.Nil(t, by["coil"].V)
	assert.NotEmpty(t, by["coil"].Trouble)
	assert.NotContains(t, by, "outdoors", "no probe there")
	require.NotNil(t, x.Panel)
	assert.Equal(t, wire.Reported{Place: "panel", V: optional(18.5, true), AgeS: 1, Fresh: true}, *x.Panel)

	look.Probes[control.Tank] = attempt(control.Tank, 0, 0, sensors.Failed)
	look.Power.PanelOK, look.Power.At = false, now
	require.True(t, submitted(t, l, `{"hand":"end"}`).Accepted)
	<-ticked
	x = reportOf(t, l)
	assert.False(t, x.Places[0].Fresh, "the value stands, the latest attempt failed")
	assert.InDelta(t, 41.25, *x.Places[0].V, 1e-9)
	assert.False(t, x.Panel.Fresh)
	cancel()
	<-done
	assert.Len(t, m.readings, 2, "the first tick's and the order's")
	assert.Equal(t, 1, m.count(record.KindAnswer), "the order's")
}
