package agent

import (
	"context"
	"log/slog"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sim/plant"
)

// memory is a record without a disk.
type memory struct {
	mu       sync.Mutex // an answer is appended by whoever asked
	readings []record.Reading
	events   []record.Event
	kept     map[string]string
	failing  error
}

func newMemory() *memory { return &memory{kept: make(map[string]string)} }

func (m *memory) Append(r *record.Reading, events ...record.Event) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if r != nil {
		m.readings = append(m.readings, *r)
	}
	m.events = append(m.events, events...)
}
func (m *memory) Keep(name, value string)          { m.kept[name] = value }
func (m *memory) Kept(name string) (string, error) { return m.kept[name], nil }
func (m *memory) Err() error                       { return m.failing }
func (m *memory) Flush(context.Context) error      { return m.failing }

var _ Recorder = (*memory)(nil)

func quiet() *slog.Logger { return slog.New(slog.DiscardHandler) }

// winterDusk is when the simulated days of the tests begin.
var winterDusk = time.Date(2026, 1, 15, 21, 30, 0, 0, time.UTC)

// day runs the demo's greenhouse for d as fast as it goes and returns what each
// cycle decided.
func day(t *testing.T, d time.Duration, bend func(*Setup, *Greenhouse)) (*memory, []control.Decision, *Greenhouse) {
	t.Helper()
	file := config.Demo()
	g, err := NewGreenhouse(file, winterDusk, plant.Dusk(), 1)
	require.NoError(t, err)
	m := newMemory()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var decisions []control.Decision
	setup := Setup{
		File: file, Clock: &leapClock{now: winterDusk}, Sight: g, Hands: g, Record: m,
		Log: quiet(), Simulated: true, Trusted: func() bool { return true },
	}
	if bend != nil {
		bend(&setup, g)
	}
	after := setup.After
	setup.After = func(c Cycle) {
		decisions = append(decisions, c.Decision)
		if after != nil {
			after(c)
		}
		if c.At.Sub(winterDusk) >= d {
			cancel()
		}
	}
	l, err := NewLoop(setup)
	require.NoError(t, err)
	require.NoError(t, l.Run(ctx))
	return m, decisions, g
}

func TestADemoNightRunsAndStopsByItsRules(t *testing.T) {
	t.Parallel()
	var reasons = map[string]int{}
	_, decisions, g := day(t, 24*time.Hour, func(s *Setup, _ *Greenhouse) {
		s.After = func(c Cycle) {
			assert.Falsef(t, c.State.Battery.CutOff && (c.Decision.Outputs.Pump > 0 || c.Decision.Outputs.Fans > 0), "on below cut-off at %v", c.At)
		}
	})
	starts := 0
	for i, d := range decisions {
		reasons[d.Reason.String()]++
		if i > 0 && d.Outputs.Pump > 0 && decisions[i-1].Outputs.Pump == 0 {
			starts++
		}
	}
	t.Log(reasons, "starts", starts, "end", g.plant.Now(), g.plant.Meters())
	assert.Positive(t, reasons[control.Planned.String()]+reasons[control.CropCold.String()], "heat was carried")
	assert.GreaterOrEqual(t, starts, 2)
	assert.Positive(t, float64(g.plant.Meters().HeatIntoTank), "the tank heats on a clear day")
}
