package agent

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors"
)

// foundBus has two probes, and counts.
type foundBus struct {
	mu    sync.Mutex
	lists int
	reads map[string]int
	fails error
}

func (*foundBus) Begin(context.Context) {}

func (b *foundBus) Read(_ context.Context, probe string) sensors.Reading {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.reads[probe]++
	return sensors.Reading{Probe: probe, Value: 20, Cause: sensors.Good}
}

func (b *foundBus) Find(context.Context) ([]string, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.lists++
	return []string{"28-00000000000b", "28-00000000000a"}, b.fails
}

// idle waits until no round is out.
func idle(t *testing.T, s *strangers) {
	t.Helper()
	require.Eventually(t, func() bool {
		s.mu.Lock()
		defer s.mu.Unlock()
		return !s.busy
	}, 5*time.Second, time.Millisecond)
}

// The bus is looked through while somebody looks at it and for half a minute after that; the
// file's own probes are left to the poller.
func TestStrangersAreReadWhileSomebodyLooks(t *testing.T) {
	t.Parallel()
	b := &foundBus{reads: make(map[string]int)}
	s := newStrangers(b, []string{"28-00000000000a"})
	now := time.Date(2026, 1, 15, 22, 0, 0, 0, time.UTC)
	all, err := s.look(now)
	assert.Empty(t, all)
	require.NoError(t, err)
	idle(t, s)
	assert.Zero(t, b.lists, "nobody looks")

	s.want(now)
	_, _ = s.look(now)
	idle(t, s)
	all, err = s.look(now.Add(time.Second))
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.Equal(t, "28-00000000000b", all[0].Probe)
	assert.Equal(t, sensors.Good, all[0].Cause)
	for i := range 10 { // 3 s to 21 s
		_, _ = s.look(now.Add(time.Duration(3+2*i) * time.Second))
		idle(t, s)
	}
	assert.Equal(t, 2, b.lists, "listed every quarter of a minute")
	assert.Equal(t, 11, b.reads["28-00000000000b"])
	assert.Zero(t, b.reads["28-00000000000a"])
	all, _ = s.look(now.Add(31 * time.Second))
	assert.Empty(t, all, "nobody looks any more")

	b.fails = errors.New("held low")
	s.want(now.Add(time.Minute))
	_, _ = s.look(now.Add(time.Minute))
	idle(t, s)
	_, err = s.look(now.Add(time.Minute + time.Second))
	assert.ErrorIs(t, err, b.fails)
	assert.Nil(t, newStrangers(noBus{}, nil))
}
