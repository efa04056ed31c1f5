package main

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/wire"
)

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
	require.NoError(t, os.WriteFile(path, []byte("time,liquid_c,air_c,on\n"), 0o600))
	require.ErrorContains(t, begin(false, nil), "is there already")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "time,liquid_c,air_c,on\n", string(text))
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
