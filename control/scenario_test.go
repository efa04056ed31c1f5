package control

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

var update = flag.Bool("update", false, "write what was decided into the scenarios")

// Columns of a scenario. The inputs of a row hold for its time, in ticks of
// 10 s; an empty cell leaves an input as it was. A coil that "flows" comes to
// 2 K below the tank while the pump runs and to the tunnel's air while it does
// not, a tick later. The outcome is that of the
// row's last tick, and the alerts that changed within it: + raised, - cleared,
// * repeated.
const scenarioHeader = "for,tank_c,coil_c,return_c,tunnel_c,volts,amps,event,mode,reason,pump,fans,contactor,buzzer,alerts"

const scenarioInputs = 8

// TestScenarios tells whole invented stories. "-update" renews what they expect;
// read the difference before keeping it.
func TestScenarios(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("testdata/scenarios/*.csv")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 3)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			told := tell(t, strings.TrimSuffix(string(text), "\n"))
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(told+"\n"), 0o644))
				return
			}
			assert.Equal(t, string(text), told+"\n")
		})
	}
}

// tell runs a scenario and gives it back with its outcomes written in.
func tell(t *testing.T, text string) string {
	r := newRig()
	w := witness{s: &r.s}
	lines := strings.Split(text, "\n")
	rows := 0
	for i, line := range lines {
		if strings.HasPrefix(line, "#") || line == scenarioHeader {
			continue
		}
		cells := strings.Split(line, ",")
		require.GreaterOrEqual(t, len(cells), scenarioInputs, "line %d", i+1)
		cells = cells[:scenarioInputs]
		length, err := time.ParseDuration(cells[0])
		require.NoError(t, err, "line %d", i+1)
		r.read(t, cells)
		var changes []AlertChange
		for range int(length / tick) {
			in := r.in
			changes = append(changes, r.step(1)...)
			w.check(t, in, r.d)
			if cells[2] == "flows" {
				r.flow()
			}
		}
		lines[i] = strings.Join(append(cells, outcome(r.d, changes)...), ",")
		rows++
	}
	require.Positive(t, rows)
	return strings.Join(lines, "\n")
}

// read takes a row's inputs.
func (r *rig) read(t *testing.T, cells []string) {
	for i, p := range []Place{Tank, Coil, Return, Tunnel} {
		switch cell := cells[i+1]; cell {
		case "", "flows":
		case "lost":
			r.lose(p, time.Hour)
		default:
			r.s.Fitted.Places[p] = true
			r.temp(p, quantity.Celsius(number(t, cell)))
		}
	}
	if cells[5] != "" {
		r.in.Meter.Volts = quantity.Volt(number(t, cells[5]))
	}
	if cells[6] != "" {
		r.in.Meter.Amps = quantity.Ampere(number(t, cells[6]))
	}
	switch word, length, _ := strings.Cut(cells[7], " "); word {
	case "":
	case "level-low":
		r.in.Level = LevelLow
	case "level-good":
		r.in.Level = LevelGood
	case "restart":
		d, err := time.ParseDuration(length)
		require.NoError(t, err)
		r.st = stored(t, r.st).Restarted(d, true)
	default:
		kind := slices.Index(orderWords[:], word)
		require.GreaterOrEqual(t, kind, 0, "no event is called %q", word)
		d, err := time.ParseDuration(length + "0s")
		require.NoError(t, err)
		r.in.Orders = []Order{{OrderKind(kind), d}}
	}
}

// flow moves the coil as a sound loop would.
func (r *rig) flow() {
	to := r.in.Places[Tunnel].Value
	if r.d.Outputs.Pump > 0 {
		to = r.in.Places[Tank].Value - 2
	}
	r.temp(Coil, to)
}

func number(t *testing.T, cell string) float64 {
	x, err := strconv.ParseFloat(cell, 64)
	require.NoError(t, err)
	return x
}

// outcome is a row's right-hand side.
func outcome(d Decision, changes []AlertChange) []string {
	var alerts []string
	for _, ch := range changes {
		name := ch.Code.String()
		if ch.Code.perPlace() {
			name += "/" + ch.Place.String()
		}
		alerts = append(alerts, [...]string{"+", "*", "-"}[ch.Kind]+name)
	}
	word := map[bool]string{true: "closed", false: "open"}[d.Outputs.Closed]
	buzzer := map[bool]string{true: "on", false: "off"}[d.Outputs.Buzzer]
	return []string{d.Mode.String(), d.Reason.String(), fmt.Sprint(float64(d.Outputs.Pump)), fmt.Sprint(float64(d.Outputs.Fans)),
		word, buzzer, strings.Join(alerts, " ")}
}
