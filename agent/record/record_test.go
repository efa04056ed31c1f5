package record

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
)

// dusk is when the tests' record begins; an invented evening.
var dusk = time.Date(2026, 1, 15, 17, 0, 0, 0, time.UTC)

func open(t *testing.T, path string, opts Options) *Record {
	t.Helper()
	r, err := Open(path, opts)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, r.Close()) })
	return r
}

func reading(i int) *Reading {
	x := &Reading{At: dusk.Add(time.Duration(i) * 10 * time.Second), Loop: "bench", Simulated: true,
		Volts: Known(12.6, 0), Amps: Known(-0.4, 0), Charge: Known(0.8, 0), Band: 0.05, Mode: control.Carrying, Reason: control.Difference}
	x.Places[control.Tank] = Known(60-float64(i)/100, 2*time.Second)
	x.Outputs.Pump = 1
	if i%7 == 0 {
		x.Trouble = map[string]string{"coil": "CRC"}
	}
	return x
}

func event(i int) Event {
	return Event{At: dusk, Loop: "bench", Kind: KindAlert, Code: "tank-hot", Body: json.RawMessage(`{"n":` + string(rune('0'+i%10)) + `}`)}
}

// settled waits until the open batch is on the disk.
func settled(t *testing.T, r *Record) {
	t.Helper()
	require.Eventually(t, func() bool {
		r.mu.Lock()
		defer r.mu.Unlock()
		return len(r.events) == 0 && !r.ripe()
	}, 10*time.Second, time.Millisecond)
}

func TestReadersSeeTheOpenBatch(t *testing.T) {
	t.Parallel()
	r := open(t, filepath.Join(t.TempDir(), "r.db"), DefaultOptions())
	for i := range 20 {
		r.Append(reading(i))
	}
	settled(t, r)
	require.Eventually(t, func() bool { return r.Committed() >= 7 }, 10*time.Second, time.Millisecond, "a minute of rows is committed")
	for i := range 3 {
		r.Append(reading(20 + i))
	}
	got, err := r.ReadingsAfter(t.Context(), 0, 100)
	require.NoError(t, err)
	require.Len(t, got, 23)
	for i, x := range got {
		assert.Equal(t, int64(i+1), x.Seq)
	}
	assert.Less(t, r.Committed(), int64(23), "the last rows wait in the open batch")
	page, err := r.ReadingsAfter(t.Context(), 5, 3)
	require.NoError(t, err)
	require.Len(t, page, 3)
	assert.Equal(t, int64(6), page[0].Seq)
}

func TestWhatIsReadIsWhatWasWritten(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "sub folder", "r.db")
	r, err := Open(path, DefaultOptions())
	require.NoError(t, err)
	r.Append(reading(0), event(1))
	r.Keep("state", "x")
	require.NoError(t, r.Close())
	again := open(t, path, DefaultOptions())
	got, err := again.ReadingsAfter(t.Context(), 0, 10)
	require.NoError(t, err)
	require.Len(t, got, 1)
	want := *reading(0)
	want.Seq = 1
	assert.Equal(t, want, got[0])
	kept, err := again.Kept("state")
	require.NoError(t, err)
	assert.Equal(t, "x", kept)
	assert.Equal(t, dusk, again.Latest().UTC())
	again.Append(nil, event(2))
	require.NoError(t, again.Flush(t.Context()))
	events, err := again.EventsAfter(t.Context(), 0, 10)
	require.NoError(t, err)
	require.Len(t, events, 2)
	assert.Equal(t, int64(2), events[1].Seq, "numbers go on after a restart")
}

// A second handle on the file sees what a process that was killed would leave:
// everything but the open batch.
func TestACrashLosesAtMostTheOpenBatch(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "r.db")
	r := open(t, path, DefaultOptions())
	for i := range 100 {
		r.Append(reading(i))
		if i == 50 {
			r.Append(nil, event(1))
		}
		settled(t, r)
	}
	other, err := OpenReadOnly(path)
	require.NoError(t, err)
	defer other.Close()
	rows, err := selectReadings(t.Context(), other.db, "1 ORDER BY seq")
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(rows), 94, "a minute is six rows")
	events, err := selectEvents(t.Context(), other.db, "1")
	require.NoError(t, err)
	assert.Len(t, events, 1)
}

func TestAFailingDiskIsSaidAndNeverBlocks(t *testing.T) {
	t.Parallel()
	opts := DefaultOptions()
	opts.Most = 30
	r := open(t, filepath.Join(t.TempDir(), "r.db"), opts)
	_, err := r.write.Exec("ALTER TABLE reading RENAME TO away")
	require.NoError(t, err)
	for i := range 50 {
		r.Append(reading(i))
	}
	r.Append(nil, event(1))
	require.Eventually(t, func() bool { return r.Err() != nil }, 10*time.Second, time.Millisecond)
	assert.Equal(t, int64(20), r.Dropped(), "the oldest beyond thirty")
	_, err = r.write.Exec("ALTER TABLE away RENAME TO reading")
	require.NoError(t, err)
	r.Append(nil, event(2))
	require.Eventually(t, func() bool { return r.Err() == nil && r.Committed() == 50 }, 10*time.Second, time.Millisecond)
	events, err := r.EventsAfter(t.Context(), 0, 10)
	require.NoError(t, err)
	assert.Len(t, events, 2, "no event was lost")
}

func TestHoursAreSummedAndOldReadingsGo(t *testing.T) {
	t.Parallel()
	opts := DefaultOptions()
	opts.Rows = 361
	r := open(t, filepath.Join(t.TempDir(), "r.db"), opts)
	for i := range 3 * 360 {
		r.Append(reading(i))
	}
	settled(t, r)
	r.Append(nil, event(0))
	settled(t, r)
	require.NoError(t, r.tidy(t.Context()))
	var n, pump int
	var mean float64
	require.NoError(t, r.read.QueryRow("SELECT count(*) FROM hour").Scan(&n))
	assert.Equal(t, 3, n)
	require.NoError(t, r.read.QueryRow("SELECT pump_s, tank_mean_c FROM hour ORDER BY at LIMIT 1").Scan(&pump, &mean))
	assert.Equal(t, 3600, pump)
	assert.InDelta(t, 60-3.59/2, mean, 1e-3, "mean of a straight line")
	require.NoError(t, r.read.QueryRow("SELECT count(*) FROM reading").Scan(&n))
	assert.Equal(t, 361, n)
}

// A board that boots in 1970, or a clock that jumps years ahead and back,
// deletes nothing and leaves no hour out.
func TestAJumpingClockLosesNothing(t *testing.T) {
	t.Parallel()
	opts := DefaultOptions()
	opts.Rows = 1000
	r := open(t, filepath.Join(t.TempDir(), "r.db"), opts)
	jumps := []time.Time{dusk, time.Unix(60, 0), dusk.AddDate(20, 0, 0), dusk.Add(2 * time.Hour)}
	for i, from := range jumps {
		for j := range 10 {
			x := reading(j)
			x.At = from.Add(time.Duration(j) * 10 * time.Second)
			r.Append(x)
		}
		r.Append(nil, event(i))
		settled(t, r)
		require.NoError(t, r.tidy(t.Context()))
	}
	var rows, hours int
	require.NoError(t, r.read.QueryRow("SELECT count(*) FROM reading").Scan(&rows))
	assert.Equal(t, 40, rows)
	require.NoError(t, r.read.QueryRow("SELECT count(*) FROM hour").Scan(&hours))
	assert.Equal(t, 4, hours)
}

func TestExportIsCSV(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "r.db")
	r := open(t, path, DefaultOptions())
	for i := range 30 {
		r.Append(reading(i))
	}
	r.Append(nil, event(3))
	settled(t, r)
	other, err := OpenReadOnly(path)
	require.NoError(t, err)
	defer other.Close()
	var b bytes.Buffer
	n, err := other.Readings(t.Context(), &b, dusk.Add(time.Minute), dusk.Add(2*time.Minute))
	require.NoError(t, err)
	assert.Equal(t, 6, n)
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 7)
	assert.Equal(t, "2026-01-15T17:01:00Z", rows[1][0])
	assert.Equal(t, "59.940", rows[1][3])
	assert.Empty(t, rows[1][4], "a place without a probe is empty, not zero")
	b.Reset()
	n, err = other.Events(t.Context(), &b, dusk, dusk.Add(time.Second))
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	assert.Contains(t, b.String(), "tank-hot")
}

// Events come out page by page, each once and in their order, where there are more than a
// page; whoever stops them stops them.
func TestExportOfManyEvents(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "r.db")
	r := open(t, path, DefaultOptions())
	const many = 2*eventsAtOnce + 7
	for i := range many {
		r.Append(nil, event(i))
	}
	settled(t, r)
	other, err := OpenReadOnly(path)
	require.NoError(t, err)
	defer other.Close()
	var b bytes.Buffer
	n, err := other.Events(t.Context(), &b, time.Unix(0, 0), dusk.AddDate(1, 0, 0))
	require.NoError(t, err)
	assert.Equal(t, many, n)
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, many+1)
	last := int64(0)
	require.NoError(t, other.eachEvent(t.Context(), time.Unix(0, 0), dusk.AddDate(1, 0, 0), func(e Event) error {
		assert.Greater(t, e.Seq, last)
		last = e.Seq
		return nil
	}))
	stop := errors.New("enough")
	assert.ErrorIs(t, other.eachEvent(t.Context(), time.Unix(0, 0), dusk.AddDate(1, 0, 0), func(Event) error { return stop }), stop)
}

func TestRowsThatRunBackwardsAreCommittedAtOnce(t *testing.T) {
	t.Parallel()
	r := open(t, filepath.Join(t.TempDir(), "r.db"), DefaultOptions())
	r.Append(reading(5))
	early := reading(0)
	early.At = time.Unix(60, 0)
	r.Append(early)
	require.Eventually(t, func() bool { return r.Committed() == 2 }, 10*time.Second, time.Millisecond)
}

// After Flush everything appended and kept before it is on the disk.
func TestFlush(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "r.db")
	r := open(t, path, DefaultOptions())
	other, err := OpenReadOnly(path)
	require.NoError(t, err)
	defer other.Close()
	for i := range 20 {
		r.Keep("state", string(rune('a'+i)))
		r.Append(nil, event(i))
		require.NoError(t, r.Flush(t.Context()))
		onDisk, err := selectEvents(t.Context(), other.db, "1")
		require.NoError(t, err)
		assert.Len(t, onDisk, i+1)
		var state string
		require.NoError(t, other.db.QueryRow("SELECT value FROM kept WHERE name = 'state'").Scan(&state))
		assert.Equal(t, string(rune('a'+i)), state)
	}
	_, err = r.write.Exec("ALTER TABLE event RENAME TO away")
	require.NoError(t, err)
	r.Append(nil, event(20))
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	require.ErrorIs(t, r.Flush(ctx), context.DeadlineExceeded)
	_, err = r.write.Exec("ALTER TABLE away RENAME TO event")
	require.NoError(t, err)
}

// Events are found by loop, kind and time, and the last before a time is the last by time.
func TestEventsByKind(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "r.db")
	r := open(t, path, DefaultOptions())
	for i, e := range []Event{
		{Loop: "bench", Kind: KindAlert, Code: "tank-hot"}, {Loop: "other", Kind: KindAlert, Code: "held-by-hand"},
		{Loop: "bench", Kind: KindTonight, Code: "plan"}, {Loop: "bench", Kind: KindAlert, Code: "tunnel-cold"},
		{Loop: "bench", Kind: KindDecision, Code: "saving"},
	} {
		e.At, e.Body = dusk.Add(time.Duration(i)*time.Hour), json.RawMessage("{}")
		r.Append(nil, e)
	}
	require.NoError(t, r.Flush(t.Context()))
	other, err := OpenReadOnly(path)
	require.NoError(t, err)
	defer other.Close()
	codes := func(from, to time.Duration, kinds ...Kind) (all []string) {
		events, err := other.Told(t.Context(), "bench", dusk.Add(from), dusk.Add(to), kinds...)
		require.NoError(t, err)
		for _, e := range events {
			all = append(all, e.Code)
		}
		return all
	}
	assert.Equal(t, []string{"tank-hot", "plan", "tunnel-cold"}, codes(0, 9*time.Hour, KindAlert, KindTonight))
	assert.Equal(t, []string{"plan"}, codes(time.Hour, 3*time.Hour, KindAlert, KindTonight), "up to, but not including")
	e, ok, err := other.Before(t.Context(), "bench", KindAlert, dusk.Add(3*time.Hour))
	require.NoError(t, err)
	assert.True(t, ok)
	assert.Equal(t, "tank-hot", e.Code, "neither the other loop's nor the one that comes then")
	_, ok, err = other.Before(t.Context(), "bench", KindAlert, dusk)
	require.NoError(t, err)
	assert.False(t, ok)
}
