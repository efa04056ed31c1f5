package metrics

import (
	"context"
	"errors"
	"io"
	"math"
	"net"
	"net/http"
	"net/http/httptest"
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
	st := Status{Loop: "bench", At: noon, Contactor: true, Mode: control.Carrying, Reason: control.Difference,
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

// parsed reads an exposition with Prometheus' own OpenMetrics parser, and holds it
// against what that parser lets pass: each sample stands below its own TYPE and HELP,
// a counter ends in _total, no series comes twice. It returns values by series.
func parsed(t *testing.T, text string) map[string]float64 {
	t.Helper()
	require.True(t, strings.HasSuffix(text, "\n# EOF\n") || text == "# EOF\n")
	p := textparse.NewOpenMetricsParser([]byte(text), labels.NewSymbolTable())
	values, families := make(map[string]float64), make(map[string]bool)
	var name, kind, unit string
	helped := false
	for {
		entry, err := p.Next()
		if errors.Is(err, io.EOF) {
			return values
		}
		require.NoError(t, err, text)
		switch entry {
		case textparse.EntryType:
			n, k := p.Type()
			name, kind, unit, helped = string(n), string(k), "", false
			require.False(t, families[name], "%s stands in one place", name)
			families[name] = true
		case textparse.EntryUnit:
			n, u := p.Unit()
			require.Equal(t, name, string(n))
			unit = string(u)
		case textparse.EntryHelp:
			n, text := p.Help()
			require.Equal(t, name, string(n))
			helped = len(text) > 0
		case textparse.EntrySeries:
			var l labels.Labels
			series := p.Metric(&l)
			_, at, v := p.Series()
			require.Nil(t, at, "no time of its own")
			require.True(t, helped, series)
			require.Equal(t, name+map[string]string{"counter": "_total", "info": "_info"}[kind], l.Get("__name__"))
			require.Equal(t, unitOf(name, kind), unit, name)
			if kind == "stateset" {
				require.NotEmpty(t, l.Get(name), "a state set's label has its name")
			}
			require.NotContains(t, values, series)
			values[series] = v
		}
	}
}

// unitOf is the unit that a name ends in (OpenMetrics 1.0.0, "Units and Base Units").
func unitOf(name, kind string) string {
	for _, u := range []string{"celsius", "volts", "amperes", "ratio", "seconds"} {
		if strings.HasSuffix(name, "_"+u) && kind == "gauge" {
			return u
		}
	}
	return ""
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
	st.Places = [control.Places]control.Temperature{}
	st.Places[control.Tank] = control.Temperature{Value: noNumber(), Ever: true}
	st.Meter, st.Charge, st.Contactor, st.Simulated = control.Meter{Cause: "no answer"}, control.Charge{Share: 0.3}, false, true
	from := source()
	from.Wire = nil
	text := exposition(&st, from)
	got := parsed(t, text)
	for _, name := range []string{"celsius", "volts", "amperes", "battery_age", "charge", "contactor", "backlog", "delivered", "connected", "NaN"} {
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

func TestRequests(t *testing.T) {
	t.Parallel()
	s := &Server{from: source()}
	s.Show(carrying())
	for _, row := range []struct {
		method, path string
		code         int
	}{
		{"GET", "/metrics", 200}, {"HEAD", "/metrics", 200}, {"POST", "/metrics", 405}, {"PUT", "/metrics", 405}, {"DELETE", "/metrics", 405},
		{"GET", "/", 404}, {"GET", "/metrics/", 404}, {"GET", "/debug/pprof", 404}, {"POST", "/", 404},
	} {
		w := httptest.NewRecorder()
		s.handler().ServeHTTP(w, httptest.NewRequest(row.method, row.path, nil))
		assert.Equal(t, row.code, w.Code, "%s %s", row.method, row.path)
		switch row.code {
		case 200:
			assert.Equal(t, ContentType, w.Header().Get("Content-Type"))
			assert.NotEmpty(t, parsed(t, w.Body.String()))
		case 405:
			assert.Equal(t, "GET, HEAD", w.Header().Get("Allow"))
		}
	}
}

// TestServe is the server on a port: what was shown last is what is read, a busy port is
// said, and the port is free when Serve has returned, an idle asker or not.
func TestServe(t *testing.T) {
	t.Parallel()
	s, err := Listen("127.0.0.1:0", source())
	require.NoError(t, err)
	_, err = Listen(s.Address(), source())
	require.ErrorContains(t, err, "listening for metrics: listen tcp "+s.Address())
	ctx, cancel := context.WithCancel(t.Context())
	over := make(chan error, 1)
	go func() { over <- s.Serve(ctx) }()

	asked := func() map[string]float64 {
		answer, err := http.Get("http://" + s.Address() + Path)
		require.NoError(t, err)
		defer answer.Body.Close()
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		assert.Equal(t, ContentType, answer.Header.Get("Content-Type"))
		return parsed(t, string(text))
	}
	assert.Len(t, asked(), 1)
	for n := int64(1); n <= 3; n++ {
		st := carrying()
		st.Ticks = n
		s.Show(st)
		assert.EqualValues(t, n, asked()[of("duskloop_ticks_total")])
	}
	idle, err := net.Dial("tcp", s.Address())
	require.NoError(t, err)
	defer idle.Close()
	cancel()
	require.NoError(t, <-over)
	again, err := net.Listen("tcp", s.Address())
	require.NoError(t, err)
	require.NoError(t, again.Close())
}
