package metrics

import (
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/prometheus/model/labels"
	"github.com/prometheus/prometheus/model/textparse"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// noon is the tests' time; an invented one.
var noon = time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC)

// wired is a way to a broker.
type wired struct {
	left, delivered int64
	err             error
}

func (w wired) Left() int64      { return w.left }
func (w wired) Delivered() int64 { return w.delivered }
func (w wired) Err() error       { return w.err }

// carrying is a loop by which everything is known but the coil, which was never read,
// and the tunnel, which was believed a minute ago and not now.
func carrying() Status {
	st := Status{Loop: "bench", At: noon, Contactor: true, Heating: 187.5, HeatingOK: true, Mode: control.Carrying, Reason: control.Difference,
		Outputs: control.Outputs{Pump: 0.75, Fans: 1, Closed: true}, Ticks: 360, Faulty: 4}
	for _, p := range []control.Place{control.Tank, control.Coil, control.Tunnel} {
		st.Fitted[p] = true
	}
	st.Places[control.Tank] = control.Temperature{Value: 61.25, Ever: true, Age: 2 * time.Second}
	st.Places[control.Coil] = control.Temperature{Trouble: control.Lost}
	st.Places[control.Tunnel] = control.Temperature{Value: -0.5, Ever: true, Age: time.Minute, Trouble: control.Doubted}
	st.Places[control.Bed] = control.Temperature{Value: 12, Ever: true} // not fitted
	st.Meter = control.Meter{Volts: 12.75, HasVolts: true, Amps: -0.4, HasAmps: true, Age: time.Second}
	st.Charge = control.Charge{Share: 0.8, Band: 0.05, OK: true}
	st.Active[control.Warning], st.Raised[control.Warning], st.Raised[control.Critical] = 2, 3, 1
	return st
}

func source() Source {
	return Source{Now: func() time.Time { return noon.Add(3 * time.Second) }, Wire: wired{7, 1234, nil}, Version: `v1.2 "dusk"`}
}

// of is a series of the tests' loop.
func of(name string, more ...string) string {
	return name + `{` + strings.Join(append([]string{`loop="bench"`, `simulated="false"`}, more...), ",") + `}`
}

func TestEveryFigure(t *testing.T) {
	t.Parallel()
	st := carrying()
	got := parsed(t, exposition(&st, source()))
	want := map[string]float64{
		of("duskloop_temperature_celsius", `place="tank"`):       61.25,
		of("duskloop_temperature_celsius", `place="tunnel"`):     -0.5,
		of("duskloop_temperature_age_seconds", `place="tank"`):   5,
		of("duskloop_temperature_age_seconds", `place="tunnel"`): 63,
		of("duskloop_temperature_believed", `place="tank"`):      1,
		of("duskloop_temperature_believed", `place="coil"`):      0,
		of("duskloop_temperature_believed", `place="tunnel"`):    0,
		of("duskloop_battery_volts"):                             12.75,
		of("duskloop_battery_amperes"):                           -0.4,
		of("duskloop_battery_age_seconds"):                       4,
		of("duskloop_battery_believed"):                          1,
		of("duskloop_battery_charge_ratio"):                      0.8,
		of("duskloop_battery_charge_band_ratio"):                 0.05,
		of("duskloop_pump_duty_ratio"):                           0.75,
		of("duskloop_fans_duty_ratio"):                           1,
		of("duskloop_contactor_closed"):                          1,
		of("duskloop_heating_watts"):                             187.5,
		of("duskloop_buzzer_on"):                                 0,
		of("duskloop_watch_only"):                                0,
		of("duskloop_mode", `duskloop_mode="carrying"`):          1,
		of("duskloop_mode", `duskloop_mode="by-hand"`):           0,
		of("duskloop_reason", `duskloop_reason="difference"`):    1,
		of("duskloop_reason", `duskloop_reason="tank-cool"`):     0,
		of("duskloop_alerts_active", `severity="warning"`):       2,
		of("duskloop_alerts_active", `severity="critical"`):      0,
		of("duskloop_alerts_raised_total", `severity="warning"`): 3,
		of("duskloop_alerts_raised_total", `severity="debug"`):   0,
		of("duskloop_tick_timestamp_seconds"):                    float64(noon.Unix()),
		of("duskloop_ticks_total"):                               360,
		of("duskloop_ticks_faulty_total"):                        4,
		of("duskloop_broker_connected"):                          1,
		of("duskloop_backlog"):                                   7,
		of("duskloop_messages_delivered_total"):                  1234,
	}
	for series, v := range want {
		if assert.Contains(t, got, series) {
			assert.InDelta(t, v, got[series], 1e-12, series)
		}
	}
	for _, set := range []string{"duskloop_mode", "duskloop_reason"} {
		on, states := 0.0, 0
		for series, v := range got {
			if strings.HasPrefix(series, set+"{") {
				on, states = on+v, states+1
			}
		}
		assert.Equal(t, 1.0, on, "%s: one state is on", set)
		assert.Greater(t, states, 8, set)
	}
	for series := range got {
		assert.NotContains(t, series, `place="bed"`, "where no probe is fitted")
		assert.NotContains(t, series, `celsius{loop="bench",simulated="false",place="coil"`, "never read")
	}
}

// TestWhatIsNotKnownIsLeftOut: nothing stands for it, a zero least of all.
func TestWhatIsNotKnownIsLeftOut(t *testing.T) {
	t.Parallel()
	st := carrying()
	st.HeatingOK = false
	st.Places = [control.Places]control.Temperature{}
	st.Places[control.Tank] = control.Temperature{Value: noNumber(), Ever: true}
	st.Meter, st.Charge, st.Contactor, st.Simulated = control.Meter{Cause: "no answer"}, control.Charge{Share: 0.3}, false, true
	from := source()
	from.Wire = nil
	text := exposition(&st, from)
	got := parsed(t, text)
	for _, name := range []string{"celsius", "volts", "amperes", "battery_age", "charge", "contactor", "heating", "backlog", "delivered", "connected", "NaN"} {
		assert.NotContains(t, text, name)
	}
	assert.Contains(t, got, `duskloop_battery_believed{loop="bench",simulated="true"}`)
	assert.NotContains(t, text, `simulated="false"`)

	first := parsed(t, exposition(nil, from))
	require.Len(t, first, 1, "before the first tick the program alone is known")
	for series, v := range first {
		assert.Contains(t, series, `version="v1.2 \"dusk\""`)
		assert.Equal(t, 1.0, v)
	}
	away := source()
	away.Wire = wired{9, 0, io.EOF}
	assert.Zero(t, parsed(t, exposition(&st, away))[`duskloop_broker_connected{loop="bench",simulated="true"}`])
}

func noNumber() quantity.Celsius { return quantity.Celsius(math.NaN()) }

// TestAwkwardNames: what stands in a label comes back as it was.
func TestAwkwardNames(t *testing.T) {
	t.Parallel()
	for _, name := range []string{`a"b`, `back\slash`, "two\nlines", "sävelä", "\xff"} {
		st := carrying()
		st.Loop = name
		text := exposition(&st, source())
		p := textparse.NewOpenMetricsParser([]byte(text), labels.NewSymbolTable())
		for {
			entry, err := p.Next()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			var l labels.Labels
			if entry == textparse.EntrySeries && p.Metric(&l) != "" && l.Has("loop") {
				require.Equal(t, strings.ToValidUTF8(name, "\uFFFD"), l.Get("loop"))
			}
		}
	}
}

// TestParserRefuses shows that the check can fail.
func TestParserRefuses(t *testing.T) {
	t.Parallel()
	st := carrying()
	good := exposition(&st, source())
	for _, row := range [][2]string{
		{"# EOF\n", ""},
		{"# UNIT duskloop_battery_volts volts", "# UNIT duskloop_battery_volts millivolts"},
		{"# TYPE duskloop_mode stateset", "# TYPE duskloop_mode states"},
		{`place="tank"`, `place=tank`},
		{" 61.25\n", " 61,25\n"},
		{" 61.25\n", "\n"},
	} {
		bad := strings.Replace(good, row[0], row[1], 1)
		require.NotEqual(t, good, bad, row)
		p := textparse.NewOpenMetricsParser([]byte(bad), labels.NewSymbolTable())
		var err error
		for err == nil {
			_, err = p.Next()
		}
		assert.NotErrorIs(t, err, io.EOF, row)
	}
}
