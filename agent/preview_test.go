package agent

import (
	"context"
	"encoding/json"
	"log/slog"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// houseWithPast is a daemon over the record of a simulated week or so, with its page, broker
// and socket; not running yet. It remembers the record as a real one does after a start.
func houseWithPast(t testing.TB, path string, bend func(*config.File)) *parts {
	t.Helper()
	f := lumpedFile(t, "large")
	f.Daemon.Period = quantity.Span(time.Minute)
	f.Loop().Carry.Spend = config.ByPlan
	f.Page.Listen, f.Broker.Address, f.Broker.Port = "127.0.0.1:0", "embedded", 0
	if bend != nil {
		bend(f)
	}
	d := &parts{Options: Options{File: f, Simulated: true, Speed: 120, State: t.TempDir(), Log: slog.New(slog.DiscardHandler), Out: new(said)}}
	d.dir = Folder(d.State, true)
	locked, err := lock(d.dir)
	require.NoError(t, err)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(d.dir, RecordName), data, 0o600))
	require.NoError(t, d.open())
	latest := d.record.Latest()
	g, err := NewGreenhouse(f, latest, plant.Dusk(), 4)
	require.NoError(t, err)
	d.green, d.loop.Sight, d.loop.Hands = g, g, g
	d.loop.Clock = new(steppedClock).step(latest.Add(time.Minute)) // what is asked twice is asked of the same past
	d.loop.Past = func(ctx context.Context, do func(record.Reading) error) error {
		return pastOf(filepath.Join(d.dir, RecordName), latest)(ctx, func(x record.Reading) error {
			x.Simulated = false // a demo's own past is not its mind's
			return do(x)
		})
	}
	t.Cleanup(func() { assert.NoError(t, d.close()); _ = locked.Close() })
	return d
}

// steppedClock stands until it is moved; the loop then ticks for a command only.
type steppedClock struct{ ms atomic.Int64 }

func (c *steppedClock) Now() time.Time { return time.UnixMilli(c.ms.Load()).UTC() }

func (c *steppedClock) step(to time.Time) *steppedClock {
	c.ms.Store(to.UnixMilli())
	return c
}

func (c *steppedClock) WaitUntil(ctx context.Context, _ time.Time) error {
	<-ctx.Done()
	return ctx.Err()
}

// said takes what a daemon prints.
type said struct{}

func (*said) Write(b []byte) (int, error) { return len(b), nil }

// started runs it until the test ends.
func (d *parts) started(t testing.TB) {
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() { defer close(ended); d.run(ctx) }()
	t.Cleanup(func() { stop(); <-ended })
}

// running runs it until then, and waits for it to remember the record.
func (d *parts) running(t testing.TB) {
	t.Helper()
	d.started(t)
	d.remembering(t)
}

// remembering waits until it remembers the record.
func (d *parts) remembering(t testing.TB) {
	t.Helper()
	require.Eventually(t, func() bool {
		clock := d.loop.Clock.(*steppedClock)
		clock.step(clock.Now().Add(10 * time.Second))
		d.asked(t, `{"hand":"end"}`) // a tick
		x, err := d.loop.Remembers(t.Context())
		return err == nil && x.stands && (x.memory == nil || x.learned)
	}, time.Minute, 50*time.Millisecond, "the record is remembered")
}

const milder = `{"id":"p","preview":{"crop.minimum":"2 °C"},"nights":7}`

// asked for a preview as a command.
func (d *parts) asked(t testing.TB, text string) wire.Answer {
	t.Helper()
	a, err := d.loop.Submit(t.Context(), []byte(text), "test")
	require.NoError(t, err)
	return a
}

// previewedDays is how long the recorded week is: seven nights and what the mind learns from.
func previewedDays() int {
	if raced {
		return 4
	}
	return 9
}

// The page, MQTT and the local socket have the same figures of a recorded simulated week, and
// those as set now are near what was recorded; the night that is half recorded is left out,
// and that is said; nothing is changed or recorded by it.
func TestPreviewIsTheSameByEveryWay(t *testing.T) {
	t.Parallel()
	zone := SunZone(lumpedFile(t, "large"))
	path, was := livedWeek(t, lumpedFile(t, "large"), previewedDays(), func(x *record.Reading) bool {
		return x.At.Before(time.Date(2026, 1, 10, 1, 0, 0, 0, zone)) || x.At.After(time.Date(2026, 1, 10, 6, 0, 0, 0, zone))
	})
	d := houseWithPast(t, path, nil)
	d.running(t)
	// By no wildcard: the embedded broker's library reads what is retained without a lock then.
	c := mosquittotest.Subscribe(t, d.wire.broker.Address(), "duskloop/simulated/"+d.loop.name+"/answer")
	_, before := d.record.Ends()
	settings := d.asked(t, `{"show":true}`).Settings

	bySocket, err := Ask(t.Context(), d.dir, wire.Command{Preview: map[string]string{"crop.minimum": "2 °C"}})
	require.NoError(t, err)
	require.True(t, bySocket.Accepted, bySocket.Reason)
	p := bySocket.Preview
	require.NotNil(t, p)
	assert.Equal(t, wire.TwinLearned, p.Twin)
	require.Len(t, p.LeftOut, 7-len(p.Nights))
	assert.Contains(t, p.LeftOut, wire.LeftOut{Night: "2026-01-09", Noon: time.Date(2026, 1, 9, 17, 0, 0, 0, time.UTC), Why: halfSeen}, "five hours of it were lost")
	assert.Positive(t, len(p.Nights))
	assert.Less(t, *p.OffK, 1.0)
	assert.NotEmpty(t, p.Tonight)
	var again, then float64
	for _, n := range p.Nights {
		t.Logf("%s: recorded %.2f °C, again %.2f, changed %.2f; %.1f, %.1f K²h; %.0f, %.0f Wh", n.Night, n.RecordedC, n.AgainC, n.ThenC, n.AgainK2h, n.ThenK2h, n.AgainWh, n.ThenWh)
		assert.InDelta(t, was[n.Night].coldest, n.RecordedC, 0.5, "%s: beside the plant's own air", n.Night)
		assert.InDelta(t, was[n.Night].coldest, n.AgainC, 1.5, n.Night)
		again, then = again+n.AgainWh, then+n.ThenWh
	}
	t.Logf("off %.2f K; %s", *p.OffK, p.Words)
	assert.Less(t, then, again, "a crop that stands more cold asks for less heat")
	assert.Contains(t, p.Words, "spared")

	c.Publish("duskloop/simulated/"+d.loop.name+"/command", milder, false)
	var byMQTT wire.Answer
	c.Await("its answer", func([]mosquittotest.Message) bool {
		for _, text := range c.On("duskloop/simulated/" + d.loop.name + "/answer") {
			if byMQTT = (wire.Answer{}); json.Unmarshal([]byte(text), &byMQTT) == nil && byMQTT.ID == "p" {
				return true
			}
		}
		return false
	})
	require.True(t, byMQTT.Accepted, byMQTT.Reason)
	assert.Equal(t, "p", byMQTT.ID)
	assert.Equal(t, p.Nights, byMQTT.Preview.Nights)
	assert.Equal(t, p.OffK, byMQTT.Preview.OffK)
	assert.Equal(t, p.LeftOut, byMQTT.Preview.LeftOut)
	assert.Equal(t, p.Words, byMQTT.Preview.Words)

	byPage, err := d.page.house.Preview(t.Context(), map[string]string{"crop.minimum": "2 °C"}, quantity.US)
	require.NoError(t, err)
	require.Len(t, byPage.Nights, len(p.Nights))
	for i, n := range byPage.Nights {
		x := wire.PreviewNight{
			Night: p.Nights[i].Night, Noon: n.Noon, RecordedC: float64(n.Was), AgainC: float64(n.Again), ThenC: float64(n.Then),
			AgainK2h: n.SquaredAgain, ThenK2h: n.SquaredThen, AgainWh: n.WhAgain, ThenWh: n.WhThen, AgainBelowS: n.BelowAgain.Seconds(), ThenBelowS: n.BelowThen.Seconds(),
		}
		assert.Equal(t, p.Nights[i], x)
	}
	assert.Contains(t, byPage.Tonight, "Tonight, changed:")
	require.NotEmpty(t, byPage.Words)
	assert.Contains(t, byPage.Words, "Left out: Fri 9 Jan: "+halfSeen+".")
	us := *p // the page's browser reads °F
	assert.Equal(t, previewWords(&us, quantity.US), byPage.Words[0], "one sentence, in other units")
	assert.Equal(t, previewWords(&us, quantity.SI), p.Words)
	assert.Equal(t, p.Tonight, byMQTT.Preview.Tonight)

	assert.Equal(t, settings, d.asked(t, `{"show":true}`).Settings)
	_, after := d.record.Ends()
	events, err := d.record.EventsAfter(t.Context(), before, int(after-before))
	require.NoError(t, err)
	for _, e := range events {
		assert.NotContains(t, []record.Kind{record.KindSetting, record.KindAnswer}, e.Kind)
	}
}

// Nights as the settings stand are lived again once, whatever is tried; when the settings are
// changed, anew.
func TestPreviewLivesTheNightsAsTheyStandOnce(t *testing.T) {
	t.Parallel()
	path, _ := livedWeek(t, lumpedFile(t, "large"), 4, nil)
	d := houseWithPast(t, path, func(f *config.File) { f.Broker.Address, f.Page.Listen = "none", "none" })
	past, read := d.loop.Past, make(chan struct{})
	d.loop.Past = func(ctx context.Context, do func(record.Reading) error) error {
		<-read
		return past(ctx, do)
	}
	d.started(t)
	assert.Equal(t, errRecalling.Error(), d.asked(t, milder).Reason)
	assert.Contains(t, d.asked(t, `{"preview":{"crop.minimum":"900 °C"}}`).Reason, "out of range")
	close(read)
	d.remembering(t)
	first := d.asked(t, milder).Preview.Nights
	d.looks.before.all[0].Coldest = 77
	other := d.asked(t, `{"preview":{"crop.minimum":"3 °C"}}`).Preview.Nights
	assert.InDelta(t, 77, other[0].AgainC, 1e-9)
	assert.NotEqual(t, first[0].ThenWh, other[0].ThenWh)
	assert.NotEqual(t, 77.0, d.asked(t, `{"preview":{"crop.minimum":"3 °C"},"nights":2}`).Preview.Nights[0].AgainC, "other nights")
	require.True(t, d.asked(t, `{"set":{"crop.minimum":"2 °C"}}`).Accepted)
	anew := d.asked(t, milder).Preview.Nights
	for i, n := range anew {
		assert.InDelta(t, n.AgainC, n.ThenC, 0, "nothing is changed by it")
		assert.InDelta(t, first[i].ThenC, n.AgainC, 0.3, "what was foretold of the change")
	}
}

// A wrong value is refused by its key, in the document and in words, whatever the way.
func TestPreviewRefusesWrongValuesByTheirKeys(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l, stop := standing(t, config.Demo(), m)
	l.Previews = &previews{remembers: l.Remembers, zone: time.UTC, waiting: make(chan struct{}, 1), working: make(chan struct{}, 1)}
	a := submitted(t, l, `{"id":"x","preview":{"start_difference":"600 K","crop.minimum":"much","tank.volume":"9 L"}}`)
	assert.False(t, a.Accepted)
	assert.Equal(t, "x", a.ID)
	require.NotNil(t, a.Preview)
	assert.Contains(t, a.Preview.Faults["carry.start_difference"], "out of range")
	assert.Contains(t, a.Preview.Faults["crop.minimum"], "temperature")
	assert.Contains(t, a.Preview.Faults["tank.volume"], "in the greenhouse file only")
	assert.Contains(t, a.Reason, "carry.start_difference: out of range")
	assert.Empty(t, a.Preview.Nights)
	stop()
	assert.Zero(t, m.count(record.KindAnswer), "a question is not recorded")
	none, err := NewLoop(Setup{File: config.Demo(), Clock: &stillClock{winterDusk}, Record: newMemory(), Log: quiet()})
	require.NoError(t, err)
	assert.Equal(t, "nothing is recorded", submitted(t, none, milder).Reason)
}

// One is worked out at a time, few wait, the next is refused; and meanwhile the loop answers
// and ticks, since it has no part in the work.
func TestPreviewsAreBoundedAndLeaveTheLoopAlone(t *testing.T) {
	t.Parallel()
	l, _ := standing(t, config.Demo(), newMemory())
	release, begun := make(chan struct{}), make(chan struct{}, 8)
	l.Previews = &previews{
		remembers: l.Remembers, zone: time.UTC, waiting: make(chan struct{}, mostWaiting+1), working: make(chan struct{}, 1),
		reader: func() (*record.Reader, error) { begun <- struct{}{}; <-release; return nil, errUnrecorded },
	}
	answers := make(chan wire.Answer, 8)
	ask := func(ctx context.Context) {
		a, err := l.Submit(ctx, []byte(milder), "test")
		assert.NoError(t, err)
		answers <- a
	}
	gone, leave := context.WithCancel(t.Context())
	go ask(gone)
	<-begun
	for range mostWaiting {
		go ask(t.Context())
	}
	require.Eventually(t, func() bool { return len(l.Previews.waiting) == mostWaiting+1 }, 10*time.Second, time.Millisecond)
	assert.Equal(t, errCrowded.Error(), submitted(t, l, milder).Reason)
	assert.True(t, submitted(t, l, `{"hand":"hold","for":"1 h"}`).Accepted, "a command is obeyed, and a tick made, at once")
	assert.True(t, submitted(t, l, `{"readings":true}`).Accepted)
	leave()
	assert.Contains(t, (<-answers).Reason, "it took too long")
	assert.Empty(t, begun, "what was begun for somebody who left holds its place until it ends")
	close(release)
	for range mostWaiting {
		assert.Equal(t, "nothing is recorded", (<-answers).Reason)
	}
	require.Eventually(t, func() bool { return len(l.Previews.waiting) == 0 && len(l.Previews.working) == 0 }, 10*time.Second, time.Millisecond)
}

// The greenhouse fitted to the record comes before the learned one, that before the file's;
// the document says which it was.
func TestPreviewChoosesTheFittedGreenhouse(t *testing.T) {
	t.Parallel()
	f := lumpedFile(t, "large")
	own, err := planner(f)
	require.NoError(t, err)
	taught := own.Twin
	taught.Cover *= 1.2
	x := remembered{file: f, twin: taught, learned: true}
	twin, by, on, err := x.chosen()
	require.NoError(t, err)
	assert.Equal(t, wire.TwinLearned, by)
	assert.Nil(t, on)
	assert.Equal(t, taught, twin)
	x.learned = false
	twin, by, _, err = x.chosen()
	require.NoError(t, err)
	assert.Equal(t, wire.TwinFile, by)
	assert.Equal(t, own.Twin, twin)
	made := time.Date(2026, 1, 20, 9, 0, 0, 0, time.UTC)
	f.Fitted = &fitted.Greenhouse{Loop: f.Loop().Name, Made: made, Figures: []fitted.Figure{
		{Name: "tunnel cover", Unit: "W/K", File: own.Twin.Cover, Value: 1.5 * own.Twin.Cover, Told: true},
	}}
	x.learned = true
	twin, by, on, err = x.chosen()
	require.NoError(t, err)
	assert.Equal(t, wire.TwinFitted, by)
	assert.Equal(t, made, *on)
	assert.InEpsilon(t, 1.5*own.Twin.Cover, twin.Cover, 1e-9)
}

// A loop that spends its heat by difference remembers nothing; its nights are read from the
// record, on the file's greenhouse, and lived by its own differences.
func TestPreviewOfALoopThatPlansNothing(t *testing.T) {
	t.Parallel()
	path, _ := livedWeek(t, lumpedFile(t, "large"), 4, nil)
	d := houseWithPast(t, path, func(f *config.File) { f.Loop().Carry.Spend = config.ByDifference })
	d.running(t)
	a := d.asked(t, `{"preview":{"crop.comfortable":"6 °C"},"nights":7}`)
	require.True(t, a.Accepted, a.Reason)
	assert.Equal(t, wire.TwinFile, a.Preview.Twin)
	assert.Len(t, a.Preview.Nights, 3, "of the four days from the evening of the 7th")
	require.Len(t, a.Preview.LeftOut, 4)
	assert.Equal(t, []string{"Left out: Sun 4 Jan to Wed 7 Jan: the record begins later, on Wed 7 Jan at 17:20."}, LeftOutWords(a.Preview), "said once")
	assert.Contains(t, a.Preview.Words, "In the last 3 nights")
	assert.Empty(t, a.Preview.Tonight)
	for _, n := range a.Preview.Nights {
		assert.Less(t, n.ThenWh, n.AgainWh, "a crop that needs no more than that asks for less heat")
	}
}

// What cannot be lived again is said, by the page and by command.
func TestPreviewWithoutAProbe(t *testing.T) {
	t.Parallel()
	f := lumpedFile(t, "large")
	f.Loop().Probes[control.Greenhouse].ID = ""
	l, _ := standing(t, f, newMemory())
	l.Previews = &previews{remembers: l.Remembers, zone: time.UTC, waiting: make(chan struct{}, 1), working: make(chan struct{}, 1)}
	a := submitted(t, l, milder)
	require.True(t, a.Accepted, a.Reason)
	assert.Contains(t, a.Preview.Words, "there is no probe at the greenhouse")
	h := &housePage{parts: &parts{looks: l.Previews}}
	p, err := h.Preview(t.Context(), map[string]string{"crop.minimum": "2 °C"}, quantity.SI)
	require.NoError(t, err)
	assert.Equal(t, []string{a.Preview.Words}, p.Words)
}
