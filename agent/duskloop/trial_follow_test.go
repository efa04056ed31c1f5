package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
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

// A run of known power and loss, followed to its end: a lost probe and a daemon that does
// not answer leave a gap and are said, and power and loss come back within 3 %.
func TestFollowingARun(t *testing.T) {
	t.Parallel()
	d := newBenchDaemon(1)
	d.temp = 50
	x := follow(t, d)
	x.pass(10)
	x.switched("heat", true)
	x.pass(60)
	d.bend = func(a *wire.Answer) error {
		a.Readings.Places[0].Fresh, a.Readings.Places[0].Trouble = false, "CRC"
		return nil
	}
	x.pass(8)
	d.bend = func(*wire.Answer) error { return errors.New("no daemon answers in there") }
	x.pass(4)
	d.bend = func(a *wire.Answer) error { a.Time = a.Time.Add(5 * time.Minute); return nil }
	x.pass(2)
	d.bend = nil
	x.pass(170)
	x.words <- "boil"
	x.words <- ""
	x.switched("off", false)
	x.pass(200)
	x.words <- "stop"
	require.NoError(t, <-x.done)
	head, rows := x.rows()
	assert.Equal(t, "time,liquid_c,air_c,on", head)
	assert.Len(t, rows, 1+10+60+170+200, "what could not be read is not there")
	assert.Regexp(t, `^2026-03-01T10:00:28\.500Z,[0-9.]+,14\.0000,0$`, rows[0], "at the liquid's own moment")
	assert.Regexp(t, `,0$`, rows[9])
	assert.Regexp(t, `,0\.5167$`, rows[10], "15.5 of the 30 s after the reading")
	assert.Regexp(t, `,1$`, rows[11])
	assert.Regexp(t, `,0\.4833$`, rows[240], "14.5 of 30 s")
	r := x.result()
	assert.InEpsilon(t, 90, r.PowerW, 0.03)
	assert.InEpsilon(t, 0.9, r.LossWK, 0.03)
	assert.Equal(t, steadyPower, r.Kind)
	for _, says := range []string{
		"vent the vessel", "relief valve", "thermal cut-out", "rated for DC", "Never leave it alone", "local codes", "the liquid will scald",
		"No reading is kept: tank cannot be read (CRC)", "no daemon answers", "last cycle is old", "Readings are back, after 450 s without",
		`"boil" is no word here`, "The liquid is at 60", "let it cool before you lift", "heater on", "heater off", "compares it with another",
	} {
		assert.Contains(t, x.said.String(), says)
	}
	assert.Equal(t, 1, strings.Count(x.said.String(), "(CRC)"), "said once")
}

// Under the sun the panel's voltage is kept and followed; while it is lost nothing is.
func TestFollowingThePanel(t *testing.T) {
	t.Parallel()
	d := newBenchDaemon(2)
	d.volts = func(s float64) float64 {
		if !d.heating {
			return 22
		}
		return 16 + 2*math.Sin(s/500)
	}
	x := follow(t, d)
	x.pass(5)
	x.switched("heat", true)
	x.pass(100)
	d.bend = func(a *wire.Answer) error { a.Readings.Panel.Fresh = false; return nil }
	x.pass(3)
	d.bend = nil
	x.pass(100)
	x.switched("off", false)
	x.pass(150)
	x.cancel()
	require.NoError(t, <-x.done)
	head, rows := x.rows()
	assert.Equal(t, "time,liquid_c,air_c,on,panel_v", head)
	assert.Len(t, rows, 1+5+100+100+150)
	assert.Contains(t, x.said.String(), "panel has an old reading only")
	assert.Contains(t, x.said.String(), "Switch the heater off")
	r := x.result()
	require.NotNil(t, r.AtV)
	assert.InDelta(t, 18, *r.AtV, 0.1)
	assert.InEpsilon(t, *r.AtV**r.AtV/3, r.PowerW, 0.03)
	assert.InEpsilon(t, 0.9, r.LossWK, 0.03)
	assert.Equal(t, changingSun, r.Kind)
}

// A heater on another supply leaves the panel out; the same cycle is kept once; a switch
// while the daemon does not answer is warned of.
func TestFollowingOnASupply(t *testing.T) {
	t.Parallel()
	d := newBenchDaemon(3)
	d.volts = func(float64) float64 { return 20 }
	x := follow(t, d, func(f *follower) { f.steady = true })
	x.pass(1)
	x.ticks <- time.Time{}
	x.words <- ""
	d.bend = func(a *wire.Answer) error { a.Readings = nil; return nil }
	x.pass(1)
	x.switched("heat", true)
	d.bend = nil
	x.pass(2)
	close(x.words)
	x.cancel()
	require.NoError(t, <-x.done)
	head, rows := x.rows()
	assert.Equal(t, "time,liquid_c,air_c,on", head)
	assert.Len(t, rows, 1+1+2)
	assert.Contains(t, x.said.String(), "it counts from")
	assert.Regexp(t, `,0\.975$`, rows[1], "1.5 s after the reading it last answered, and 60 s to the next")
}

// Words may end before the run does.
func TestFollowingWithoutWords(t *testing.T) {
	t.Parallel()
	d := newBenchDaemon(5)
	x := follow(t, d)
	x.pass(2)
	close(x.words)
	x.ticks <- time.Time{}
	x.ticks <- time.Time{} // taken once it was said
	x.cancel()
	require.NoError(t, <-x.done)
	_, rows := x.rows()
	assert.Len(t, rows, 3)
	assert.Equal(t, []string{"heat", "off"}, collected(spoken(t.Context(), strings.NewReader("Heat\n off "))))
}

func collected(words <-chan string) (all []string) {
	for w := range words {
		all = append(all, w)
	}
	return all
}

// Nothing is begun without a daemon, without the probes, or over a run that is there.
func TestFollowingRefuses(t *testing.T) {
	t.Parallel()
	d := newBenchDaemon(4)
	path := filepath.Join(t.TempDir(), "kept.csv")
	d.step()
	begin := func(overwrite bool, bend func(*follower)) error {
		f := &follower{ask: d.ask, liquid: "tank", air: "greenhouse", out: new(bytes.Buffer)}
		if bend != nil {
			bend(f)
		}
		_, err := f.begin(t.Context(), path, overwrite)
		if f.file != nil {
			require.NoError(t, f.end())
		}
		return err
	}
	require.ErrorContains(t, begin(false, func(f *follower) { f.air = "outdoors" }), "no probe at outdoors")
	require.NoFileExists(t, path)
	require.NoError(t, os.WriteFile(path, []byte("an old run\n"), 0o600))
	require.ErrorContains(t, begin(false, nil), "is there already")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "an old run\n", string(text))
	require.NoError(t, begin(true, nil))
	text, err = os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), "time,liquid_c,air_c,on\n2026-03-01T")
	dir := t.TempDir()
	for _, row := range []struct {
		args []string
		code int
		says string
	}{
		{nil, exitFault, "no daemon answers"},
		{[]string{"--liquid", "greenhouse"}, exitUsage, "two probes are needed"},
		{[]string{"--liquid", "kettle"}, exitUsage, "--liquid"},
		{[]string{"--every", "0 s"}, exitUsage, "--every"},
	} {
		line := append([]string{"--state", dir, "trial", "follow", filepath.Join(dir, "none"), "--volume", "4 L"}, row.args...)
		code, _, err := run(t, line...)
		assert.Equal(t, row.code, code)
		assert.ErrorContains(t, err, row.says)
	}
	assert.NoFileExists(t, filepath.Join(dir, "none.csv"), "no empty file is left")
}
