package mqtt

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// batchRows is the publishing process's open batch: rows a reading every 10 s,
// committed when the oldest is this many rows old.
const batchRows = 20

// TestMain turns the test's program into the publishing process of TestKilled.
func TestMain(m *testing.M) {
	if path := os.Getenv("PUBLISH_RECORD"); path != "" {
		if err := publisher(path, os.Getenv("PUBLISH_TO"), os.Getenv("PUBLISH_RUN")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// publisher appends a row every few milliseconds until it is killed, or its
// input ends, and tells each row's number. It does not run ahead of a slow disk by
// more than two batches, since a row every 10 s does not either: a record that keeps
// more than that open stops it, and the test with it.
func publisher(path, addr, run string) error {
	rec, err := record.Open(path, record.Options{Commit: batchRows * 10 * time.Second, Rows: 100000, Most: 20000})
	if err != nil {
		return err
	}
	f, err := New(rec, options(addr))
	if err != nil {
		return err
	}
	if err := f.Start(plainLine()); err != nil {
		return err
	}
	n, err := strconv.Atoi(run)
	if err != nil {
		return err
	}
	over := make(chan struct{})
	go func() {
		defer close(over)
		_, _ = bufio.NewReader(os.Stdin).ReadByte() // its end is what counts
	}()
	appendRows(rec, n*1000000, over)
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	if err := f.Stop(ctx); err != nil {
		return err
	}
	return rec.Close()
}

func appendRows(rec *record.Record, from int, over <-chan struct{}) {
	pace := time.NewTicker(4 * time.Millisecond)
	defer pace.Stop()
	for i := from; ; i++ {
		for ahead := true; ahead; {
			select {
			case <-over:
				return
			case <-pace.C:
			}
			end, _ := rec.Ends()
			ahead = end-rec.Committed() >= 2*batchRows
		}
		if i%50 == 49 {
			rec.Append(reading(i), alert(i))
		} else {
			rec.Append(reading(i))
		}
		r, e := rec.Ends()
		fmt.Println(r, e)
	}
}

// process is a publishing process and what it last said.
type process struct {
	cmd             *exec.Cmd
	readings, event atomic.Int64 // numbers last appended
	input           io.Closer
	silent          chan struct{} // closed when it says no more
}

func publish(t *testing.T, path, addr string, run int) *process {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	p := &process{cmd: exec.Command(self), silent: make(chan struct{})}
	p.cmd.Env = append(os.Environ(), "PUBLISH_RECORD="+path, "PUBLISH_TO="+addr, "PUBLISH_RUN="+strconv.Itoa(run))
	p.cmd.Stderr = os.Stderr
	p.input, err = p.cmd.StdinPipe()
	require.NoError(t, err)
	out, err := p.cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, p.cmd.Start())
	t.Cleanup(func() { _ = p.cmd.Process.Kill() })
	go func() {
		defer close(p.silent)
		for lines := bufio.NewScanner(out); lines.Scan(); {
			r, e, _ := strings.Cut(lines.Text(), " ")
			p.readings.Store(atoi(r))
			p.event.Store(atoi(e))
		}
	}()
	return p
}

func atoi(s string) int64 {
	n, _ := strconv.ParseInt(s, 10, 64)
	return n
}

// kill ends it with SIGKILL and returns when it is gone and its last words are
// read.
func (p *process) kill(t *testing.T) {
	t.Helper()
	require.NoError(t, p.cmd.Process.Kill())
	<-p.silent
	require.ErrorContains(t, p.cmd.Wait(), "killed")
}

// TestKilled kills the publishing process with SIGKILL while the broker is down,
// starts it again, and then the broker: no committed event is lost, each
// committed reading comes at least once, and of what had been appended at most
// one open batch is missing.
func TestKilled(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	got := subscribe(t, broker.Addr, "duskloop/#")
	path := filepath.Join(t.TempDir(), "record.db")

	first := publish(t, path, broker.Addr, 0)
	got.Await("rows of the first run", func(m []mosquittotest.Message) bool { return len(m) > 100 })
	broker.Stop()
	from := first.readings.Load()
	require.Eventually(t, func() bool { return first.readings.Load() > from+300 }, 20*time.Second, 5*time.Millisecond)
	first.kill(t)

	events, readings := committed(t, path)
	second := publish(t, path, broker.Addr, 1)
	require.Eventually(t, func() bool { return second.readings.Load() > int64(len(readings))+50 }, 20*time.Second, 5*time.Millisecond)
	broker.Restart()

	got.Await("rows of the second run", func(m []mosquittotest.Message) bool {
		return strings.Contains(m[len(m)-1].Payload, `"bt":1778`) // ten million seconds after dusk
	})
	require.NoError(t, second.input.Close())
	<-second.silent
	require.NoError(t, second.cmd.Wait())
	got.Await("the second run's farewell", func(m []mosquittotest.Message) bool {
		return strings.Contains(m[len(m)-1].Payload, `"offline"`)
	})
	report(t, got, events, readings, first)
}

// committed is what the record holds on the disk.
func committed(t *testing.T, path string) (events []record.Event, readings []record.Reading) {
	t.Helper()
	rec, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	events, err = rec.EventsAfter(t.Context(), 0, 1e6)
	require.NoError(t, err)
	readings, err = rec.ReadingsAfter(t.Context(), 0, 1e6)
	require.NoError(t, err)
	require.NoError(t, rec.Close())
	return events, readings
}

func report(t *testing.T, got *mosquittotest.Collector, events []record.Event, readings []record.Reading, first *process) {
	t.Helper()
	texts, times := make(map[string]int), make(map[time.Time]int)
	for _, m := range got.Messages() {
		switch m.Topic {
		case "duskloop/bench/alert":
			texts[textOf(t, m.Payload)]++
		case "duskloop/bench/readings":
			times[timeOf(t, m.Payload)]++
		}
	}
	lost, repeats := 0, 0
	for _, e := range events {
		n := texts[textOf(t, string(e.Body))]
		repeats += max(0, n-1)
		lost += max(0, 1-n)
	}
	assert.Zero(t, lost, "committed events lost")
	lostReadings, repeatedReadings := 0, 0
	for _, x := range readings {
		n := times[x.At]
		repeatedReadings += max(0, n-1)
		lostReadings += max(0, 1-n)
	}
	assert.Zero(t, lostReadings, "committed readings lost")
	missing := first.readings.Load() - int64(len(readings))
	assert.LessOrEqual(t, missing, int64(2*batchRows), "an open batch and what came while the one before was being written")
	assert.LessOrEqual(t, first.event.Load()-int64(len(events)), int64(1), "events are committed at once; one may have been on its way")
	t.Logf("killed: %d events committed, %d lost, %d repeats; %d readings committed, %d lost, %d repeats; "+
		"of %d appended, %d were in the open batch (a batch is %d rows)", len(events), lost, repeats,
		len(readings), lostReadings, repeatedReadings, first.readings.Load(), missing, batchRows)
}

func textOf(t *testing.T, payload string) string {
	t.Helper()
	var a wire.Alert
	require.NoError(t, json.Unmarshal([]byte(payload), &a))
	return a.Text
}
