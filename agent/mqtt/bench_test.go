package mqtt

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/senml"
	"duskloop/agent/wire"
	"duskloop/control"
)

// dusk is when the tests' record begins; an invented evening.
var dusk = time.Date(2026, 1, 15, 17, 0, 0, 0, time.UTC)

const bench = "bench" // the loop's name

func openRecord(t *testing.T, path string) *record.Record {
	t.Helper()
	r, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, r.Close()) })
	return r
}

func newRecord(t *testing.T) *record.Record {
	t.Helper()
	return openRecord(t, filepath.Join(t.TempDir(), "record.db"))
}

// options are for tests: they connect again soon.
func options(addr string) Options {
	return Options{Address: addr, Simulated: true, Retry: 10 * time.Millisecond, Now: func() time.Time { return dusk }}
}

// feed starts a feed and stops it at the end, before the record closes.
func feed(t *testing.T, rec Recorder, o Options, lines ...Line) *Feed {
	t.Helper()
	f, err := New(rec, o)
	require.NoError(t, err)
	if lines == nil {
		lines = []Line{plainLine()}
	}
	require.NoError(t, f.Start(lines...))
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		_ = f.Stop(ctx) // what is left unsent is the single test's business
	})
	return f
}

func plainLine() Line {
	return Line{Name: bench, Settings: func(context.Context) ([]wire.Setting, error) {
		return []wire.Setting{{Key: "start_difference", Value: "14 °F"}}, nil
	}}
}

func reading(i int) *record.Reading {
	x := &record.Reading{At: dusk.Add(time.Duration(i) * 10 * time.Second), Loop: bench, Simulated: true,
		Volts: record.Known(12.6, 0), Amps: record.Known(-0.4, 0), Charge: record.Known(0.8, 0), Band: 0.05,
		Mode: control.Carrying, Reason: control.Difference}
	x.Places[control.Tank] = record.Known(60-float64(i%500)/100, 2*time.Second)
	x.Outputs.Pump = 1
	return x
}

func head(i int) wire.Head {
	return wire.Head{Time: dusk.Add(time.Duration(i) * 10 * time.Second), Loop: bench, Simulated: true}
}

func event(kind record.Kind, i int, doc any) record.Event {
	return record.Event{At: head(i).Time, Loop: bench, Simulated: true, Kind: kind, Code: string(kind), Body: encode(doc)}
}

func alert(i int) record.Event {
	text := fmt.Sprintf("tank hot %d", i)
	return event(record.KindAlert, i, wire.Alert{Head: head(i), Code: "tank-hot", Change: "raised", Severity: control.Critical,
		Text: text, Active: []wire.Active{{Code: "tank-hot", Severity: control.Critical, Text: text}}})
}

func decision(i int) record.Event {
	tank := 61.25
	return event(record.KindDecision, i, wire.Decision{Head: head(i), Mode: control.Carrying, Reason: control.Difference,
		Words: "tank warmer than tunnel", Pump: 1, Fans: 0.5, Contactor: "closed", Charger: "free", TankC: &tank})
}

func daemonEvent(i int) record.Event {
	return event(record.KindDaemon, i, wire.Daemon{Head: head(i), What: "started", Text: "started"})
}

// numberOf reads an event document's number.
func numberOf(t *testing.T, payload string) int64 {
	t.Helper()
	var doc struct {
		Seq int64 `json:"seq"`
	}
	require.NoError(t, json.Unmarshal([]byte(payload), &doc), payload)
	return doc.Seq
}

// timeOf reads a pack's base time.
func timeOf(t *testing.T, payload string) time.Time {
	t.Helper()
	p, err := senml.Parse([]byte(payload))
	require.NoError(t, err, payload)
	require.NotNil(t, p[0].BaseTime, payload)
	return time.UnixMilli(int64(*p[0].BaseTime*1000 + 0.5)).UTC()
}

// firsts are the distinct values of list in order of first arrival, and how
// many were repeats.
func firsts[K comparable](list []K) (distinct []K, repeats int) {
	seen := make(map[K]bool)
	for _, x := range list {
		if seen[x] {
			repeats++
			continue
		}
		seen[x] = true
		distinct = append(distinct, x)
	}
	return distinct, repeats
}

// arrivals are the events' numbers on a topic and the readings' times as they
// came to a collector, retained ones from before left out.
func arrivals(t *testing.T, c *mosquittotest.Collector, topic string) (numbers []int64, times []time.Time) {
	t.Helper()
	for _, m := range c.Messages() {
		switch {
		case m.Retained:
		case m.Topic == "duskloop/bench/"+topic:
			numbers = append(numbers, numberOf(t, m.Payload))
		case m.Topic == "duskloop/bench/readings":
			times = append(times, timeOf(t, m.Payload))
		}
	}
	return numbers, times
}
