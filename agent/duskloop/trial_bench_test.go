package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/wire"
)

// benchDaemon answers as a daemon whose tank probe hangs in 4 L of water on a bench with a
// heater of 90 W, or of 3 ohm on a panel. It reads every 30 s, 1.5 s before each cycle. What
// it knows is changed between two ticks only.
type benchDaemon struct {
	began, at, cycle time.Time
	temp, seen       float64
	panel            float64 // V, at the cycle
	heating          bool
	volts            func(s float64) float64 // of the panel; nil where it is not measured
	bend             func(*wire.Answer) error
	noise            *rand.Rand
}

func newBenchDaemon(seed uint64) *benchDaemon {
	at := time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	return &benchDaemon{at: at, began: at, cycle: at, temp: 16, noise: rand.New(rand.NewPCG(seed, 8))}
}

// until moves time on, in half seconds.
func (d *benchDaemon) until(at time.Time) {
	const h = 500 * time.Millisecond
	for d.at.Before(at) {
		d.at = d.at.Add(h)
		power := 0.0
		switch v := d.now(); {
		case d.heating && d.volts != nil:
			power = v * v / 3
		case d.heating:
			power = 90
		}
		d.temp += h.Seconds() * (power - 0.9*(d.temp-14)) / (4 * 0.9982 * 4179) // as in runFile
	}
}

// now is the panel's voltage, V.
func (d *benchDaemon) now() float64 {
	if d.volts == nil {
		return 0
	}
	return d.volts(d.at.Sub(d.began).Seconds())
}

// step is the next cycle.
func (d *benchDaemon) step() {
	next := d.cycle.Add(30 * time.Second)
	d.until(next.Add(-1500 * time.Millisecond))
	d.seen = math.Round((d.temp+0.03*d.noise.NormFloat64())*16) / 16
	d.panel = d.now()
	d.until(next)
	d.cycle = next
}

func (d *benchDaemon) ask(ctx context.Context) (wire.Answer, error) {
	if ctx.Err() != nil {
		return wire.Answer{}, ctx.Err()
	}
	at := func(place string, v float64) wire.Reported {
		return wire.Reported{Place: place, V: &v, AgeS: 1.5, Fresh: true}
	}
	a := wire.Answer{Accepted: true, Readings: &wire.Report{
		At: d.cycle, PeriodS: 30, Places: []wire.Reported{at("tank", d.seen), at("coil", 99), at("greenhouse", 14)},
	}}
	a.Time = d.at
	if d.volts != nil {
		panel := at("panel", d.panel)
		a.Readings.Panel = &panel
	}
	if d.bend != nil {
		return a, d.bend(&a)
	}
	return a, nil
}

// followed is a run on a bench while it goes.
type followed struct {
	t      *testing.T
	d      *benchDaemon
	ticks  chan time.Time
	words  chan string
	path   string
	said   bytes.Buffer // read it after done
	done   chan error
	cancel context.CancelFunc
}

func follow(t *testing.T, d *benchDaemon, more ...func(*follower)) *followed {
	t.Helper()
	x := &followed{t: t, d: d, ticks: make(chan time.Time), words: make(chan string), done: make(chan error, 1), path: filepath.Join(t.TempDir(), "made.csv")}
	f := &follower{ask: d.ask, ticks: x.ticks, words: x.words, liquid: "tank", air: "greenhouse", out: &x.said}
	for _, m := range more {
		m(f)
	}
	ctx, cancel := context.WithCancel(t.Context())
	t.Cleanup(cancel)
	x.cancel = cancel
	d.step()
	period, err := f.begin(ctx, x.path, false)
	require.NoError(t, err)
	require.Equal(t, 30*time.Second, period)
	go func() { x.done <- f.follow(ctx) }()
	return x
}

// pass lets so many readings come; the last was taken when it returns.
func (x *followed) pass(readings int) {
	for range readings {
		x.d.step()
		x.ticks <- time.Time{}
		x.words <- ""
	}
}

// switched is the grower who turns the heater and says so, 13 s after a cycle.
func (x *followed) switched(word string, heating bool) {
	x.d.until(x.d.cycle.Add(13 * time.Second))
	x.d.heating = heating
	x.words <- word
	x.words <- ""
}

// rows are the lines that were kept, without the header.
func (x *followed) rows() (head string, rows []string) {
	x.t.Helper()
	text, err := os.ReadFile(x.path)
	require.NoError(x.t, err)
	all := strings.Split(strings.TrimSpace(string(text)), "\n")
	return all[0], all[1:]
}

// result is what the run says, in JSON.
func (x *followed) result() trialRow {
	x.t.Helper()
	c := trialFollow{Name: x.path, trialShown: trialShown{Units: "si", JSON: true}}
	c.Volume = "4 L"
	heat, err := c.heat()
	require.NoError(x.t, err)
	var out bytes.Buffer
	require.NoError(x.t, c.judge(&session{Context: x.t.Context(), out: &out, err: &x.said}, heat))
	var doc trialDocument
	require.NoError(x.t, json.Unmarshal(out.Bytes(), &doc))
	require.Len(x.t, doc.Runs, 1)
	return doc.Runs[0]
}
