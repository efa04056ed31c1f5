package tape_test

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
	"duskloop/sensors/tape"
)

// disk is a small tree.
type disk struct{}

func (disk) List(string) ([]string, error) { return []string{"b", "a"}, nil }

func (disk) Read(file string) ([]byte, error) {
	switch file {
	case "gone":
		return nil, fs.ErrNotExist
	case "broken":
		return nil, errors.New("input/output error")
	}
	return []byte("text of " + file), nil
}

func (disk) Write(string, []byte) error { return fs.ErrPermission }

// use does the operations that the tests record and play.
func use(tree tape.Tree) (names []string, text string, faults []error) {
	names, _ = tree.List("dir")
	got, _ := tree.Read("x")
	_, gone := tree.Read("gone")
	_, broken := tree.Read("broken")
	refused := tree.Write("x", []byte("trigger\n"))
	return names, string(got), []error{gone, broken, refused}
}

// recorded is the tape of use, saved and loaded.
func recorded(t *testing.T) []tape.Op {
	t.Helper()
	r := tape.RecordTree(disk{})
	use(r)
	var file bytes.Buffer
	require.NoError(t, tape.Save(&file, r.Ops()))
	assert.Equal(t, 5, strings.Count(file.String(), "\n"), "one document a line")
	ops, err := tape.Load(&file)
	require.NoError(t, err)
	assert.Equal(t, r.Ops(), ops)
	return ops
}

func TestTreePlaysWhatWasRecorded(t *testing.T) {
	t.Parallel()
	p := tape.PlayTree(recorded(t))
	names, text, faults := use(p)
	assert.Equal(t, []string{"a", "b"}, names)
	assert.Equal(t, "text of x", text)
	require.ErrorIs(t, faults[0], fs.ErrNotExist)
	require.EqualError(t, faults[1], "input/output error")
	require.ErrorIs(t, faults[2], fs.ErrPermission)
	assert.NoError(t, p.Close())
}

func TestPlayerFailsOnWhatIsLeft(t *testing.T) {
	t.Parallel()
	p := tape.PlayTree(recorded(t))
	_, err := p.Read("x")
	require.NoError(t, err)
	left := p.Close()
	assert.ErrorContains(t, left, "read gone: left on the tape")
	assert.ErrorContains(t, left, "write x: left on the tape")
	assert.NotContains(t, left.Error(), "read x")
}

func TestPlayerFailsOnTheUnexpected(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		do   func(tape.Tree) error
	}{
		{"file never read", func(tree tape.Tree) error { _, err := tree.Read("y"); return err }},
		{"other text written", func(tree tape.Tree) error { return tree.Write("x", []byte("stop\n")) }},
		{"written before it was read", func(tree tape.Tree) error { return tree.Write("x", []byte("trigger\n")) }},
		{"listed instead of read", func(tree tape.Tree) error { _, err := tree.List("x"); return err }},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := tape.PlayTree(recorded(t))
			require.ErrorIs(t, row.do(p), tape.ErrUnexpected)
			use(p)
			assert.ErrorIs(t, p.Close(), tape.ErrUnexpected, "Close remembers")
		})
	}
}

func TestLoadRefusesATornTape(t *testing.T) {
	t.Parallel()
	_, err := tape.Load(strings.NewReader(`{"verb":"read"}` + "\n" + `{"verb":`))
	assert.ErrorContains(t, err, "operation 1")
}

// bench is a bus with one answer for each probe.
type bench map[string]sensors.Reading

func (bench) Begin(context.Context) {}

func (b bench) Read(_ context.Context, probe string) sensors.Reading {
	r := b[probe]
	r.Probe, r.At = probe, time.Now()
	return r
}

func TestBusPlaysWhatWasRecorded(t *testing.T) {
	t.Parallel()
	source := bench{
		"good":   {Value: 51.6875, Cause: sensors.Good, HasRaw: true, Raw: [9]byte{0x3b, 3, 0x4b}},
		"bare":   {Value: -0.0625, Cause: sensors.Good},
		"gone":   {Cause: sensors.NothingThere, Err: sensors.ErrNothingThere},
		"broken": {Cause: sensors.BadCRC, Err: errors.New("checksum 01, not 02")},
	}
	r := tape.RecordBus(source)
	r.Begin(t.Context())
	for probe := range source {
		r.Read(t.Context(), probe)
	}
	p := tape.PlayBus(r.Ops())
	p.Begin(t.Context())
	for probe, want := range source {
		got := p.Read(t.Context(), probe)
		assert.Equal(t, probe, got.Probe)
		assert.False(t, got.At.IsZero())
		assert.Equal(t, want.Value, got.Value, probe)
		assert.Equal(t, want.Cause, got.Cause, probe)
		assert.Equal(t, want.Raw, got.Raw, probe)
		assert.Equal(t, want.HasRaw, got.HasRaw, probe)
		if want.Err == nil {
			assert.NoError(t, got.Err, probe)
		} else {
			assert.EqualError(t, got.Err, want.Err.Error(), probe)
		}
	}
	require.NoError(t, p.Close())
	extra := p.Read(t.Context(), "good")
	assert.Equal(t, sensors.Failed, extra.Cause)
	require.ErrorIs(t, extra.Err, tape.ErrUnexpected)
	assert.ErrorIs(t, p.Close(), tape.ErrUnexpected)
}

func TestBusRecorderRefusesWhatIsNoNumber(t *testing.T) {
	t.Parallel()
	r := tape.RecordBus(bench{"p": {Value: quantity.Celsius(math.NaN()), Cause: sensors.Good}})
	assert.Equal(t, sensors.Failed, r.Read(t.Context(), "p").Cause)
	got := tape.PlayBus(r.Ops()).Read(t.Context(), "p")
	assert.Equal(t, sensors.Failed, got.Cause)
	assert.ErrorContains(t, got.Err, "recording probe p")
}
