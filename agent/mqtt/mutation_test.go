package mqtt

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
)

// absent are the members that a payload may go without, by channel. Everything else
// must be refused when it is missing.
func absent() map[string][]string {
	return map[string][]string{
		"alert": {"place"}, "alerts": {"place", "seq"}, "answer": {"changes", "faults", "fitted_on", "left_out", "minimum_c", "off_k", "preview", "seq", "settings", "tonight", "twin", "words"},
		"command": {"for", "id", "nights", "who"},
		"daemon":  {"count"}, "decision": {"charge_band_pct", "charge_pct", "tank_c", "tunnel_c"}, "readings": {"bt", "t"},
		"forecast": {"sun_w_m2"}, "tonight": {
			"why_no_plan", "no_heat", "no_heat_until", "coldest_c", "coldest_low_c", "coldest_high_c", "coldest_at", "unheated_c", "heat_lasts_to", "next_from", "next_to",
			"heat_left_wh", "heat_wanted_wh", "charge_pct", "charge_then_pct", "outlook_off_k", "forecast_off_k", "learned",
		},
	}
}

// everyPayload is what a subscriber gets of a feed that sends one of everything, with
// all that may be absent, by the topic's last part.
func everyPayload(t *testing.T) map[string][]mosquittotest.Message {
	t.Helper()
	broker := mosquittotest.Start(t)
	got := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	x := reading(1)
	x.Places[control.Coil] = record.Known(-12.5, 90*time.Second)
	x.Trouble = map[string]string{"coil": "checksum wrong"}
	full, tunnel, band := 80.0, 12.5, 5.0
	d := wire.Decision{Head: head(1), Mode: control.Carrying, Reason: control.Difference, Words: "tank warmer than tunnel",
		Pump: 1, Fans: 0.5, Contactor: "closed", Charger: "free", TankC: &full, TunnelC: &tunnel, ChargePct: &full, BandPct: &band}
	lost := wire.Active{Code: "probe-lost", Place: "coil", Severity: control.Warning, Text: "coil probe lost"}
	rec.Append(x, event(record.KindDecision, 1, d),
		event(record.KindAlert, 1, wire.Alert{Head: head(1), Code: lost.Code, Place: lost.Place, Change: "raised", Severity: lost.Severity, Text: lost.Text, Active: []wire.Active{lost}}),
		event(record.KindDaemon, 1, wire.Daemon{Head: head(1), What: "readings-dropped", Count: 4, Text: "4 readings not sent"}))
	rec.Append(nil, event(record.KindTonight, 1, wholeNight()))
	f := feed(t, rec, options(broker.Addr), answering(rec))
	drained(t, f)
	got.Publish("duskloop/bench/forecast", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[2.5,1.9],"sun_w_m2":[0,30.5]}`, false)
	got.AwaitOn("duskloop/bench/forecast", 1)
	f.Beat(wire.Heartbeat{Head: head(2), Cycle: 2})
	for _, order := range []string{`{"id":"1","who":"grower","set":{"start_difference":"8 K"}}`, `{"id":"2","hand":"run-pump","for":"10 min"}`, `{"id":"3","show":true}`, `{"id":"4","preview":{"start_difference":"8 K"},"nights":7}`} {
		got.Publish("duskloop/bench/command", order, false)
	}
	got.AwaitOn("duskloop/bench/answer", 4)
	got.AwaitOn("duskloop/heartbeat", 1)
	got.AwaitOn("duskloop/bench/change", 2)
	all := make(map[string][]mosquittotest.Message)
	for _, m := range got.Messages() {
		part := m.Topic[strings.LastIndex(m.Topic, "/")+1:]
		all[part] = append(all[part], m)
	}
	return all
}

// wholeNight has all that a night can have.
func wholeNight() wire.Tonight {
	x, at := 5.5, head(1).Time
	return wire.Tonight{
		Head: head(1), Way: "plan", Words: "all is well", Why: "none", HeatNeeded: true, NoHeat: "held-by-hand", NoHeatUntil: &at, ColdestC: &x, ColdestLowC: &x, ColdestHighC: &x, ColdestAt: &at, UnheatedC: &x,
		HeatLastsTo: &at, NextFrom: &at, NextTo: &at, HeatLeftWh: &x, HeatWantedWh: &x, ChargePct: &x, ChargeThen: &x,
		Nights: 3, RestsOn: "outlook", OutlookOffK: &x, ForecastOffK: &x,
		Learned: []wire.Learned{{Name: "coil", Unit: "W/K", ByFile: 25, ByRecord: 18, WidthPct: 4}},
	}
}

// change is a payload that differs in one place.
type change struct {
	what, payload string
	may           bool // it may be that way
}

// changes are all of a payload: at every depth a member more, each member gone, each
// value of another type.
func changes(t *testing.T, payload string, optional []string) []change {
	t.Helper()
	var out []change
	decoded := func() (v any) {
		require.NoError(t, json.Unmarshal([]byte(payload), &v))
		return v
	}
	add := func(what string, may bool, root any) {
		out = append(out, change{what, string(encode(root)), may})
	}
	for _, path := range paths(decoded(), nil) {
		where := fmt.Sprint(path...)
		root := decoded()
		_, value := down(root, path)
		if inner, ok := value.(map[string]any); ok {
			inner["unheard_of"] = 1
			add(where+" has a member more", false, root)
		}
		if len(path) == 0 {
			continue
		}
		root = decoded()
		holder, value := down(root, path)
		switch last := path[len(path)-1].(type) {
		case string:
			holder.(map[string]any)[last] = another(value)
			add(where+" is of another type", false, root)
			root = decoded()
			holder, _ = down(root, path)
			delete(holder.(map[string]any), last)
			add(where+" is gone", slices.Contains(optional, last), root)
		case int:
			holder.([]any)[last] = another(value)
			add(where+" is of another type", false, root)
		}
	}
	return out
}

// paths lead to every value, the whole of it first.
func paths(v any, at []any) [][]any {
	out := [][]any{at}
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			out = append(out, paths(v[name], append(slices.Clone(at), name))...)
		}
	case []any:
		for i := range v {
			out = append(out, paths(v[i], append(slices.Clone(at), i))...)
		}
	}
	return out
}

// down is what a path leads to and what holds it.
func down(root any, path []any) (holder, value any) {
	value = root
	for _, step := range path {
		holder = value
		switch step := step.(type) {
		case string:
			value = holder.(map[string]any)[step]
		case int:
			value = holder.([]any)[step]
		}
	}
	return holder, value
}

// another is a value of another type.
func another(v any) any {
	switch v.(type) {
	case string:
		return 12345.5
	case []any:
		return map[string]any{}
	}
	return "12345"
}

// TestChangedPayloadsAreRefused takes a real payload of every channel and changes it in
// every place: no change passes while the document stays as it is.
func TestChangedPayloadsAreRefused(t *testing.T) {
	t.Parallel()
	j, all := newJudge(t), everyPayload(t)
	refused, passed := 0, 0
	for part, messages := range all {
		for _, m := range messages {
			require.NoError(t, j.Check(m.Topic, m.Payload), m.Payload)
			for _, c := range changes(t, m.Payload, absent()[part]) {
				err := j.Check(m.Topic, c.payload)
				if c.may {
					assert.NoError(t, err, "%s: %s", m.Topic, c.what)
					passed++
					continue
				}
				assert.Error(t, err, "%s: %s: %s", m.Topic, c.what, c.payload)
				refused++
			}
		}
	}
	assert.Empty(t, j.Unseen(), "every channel was sent on")
	t.Logf("%d channels: %d changes refused, %d members may be absent", len(all), refused, passed)
}

// TestEveryTopicIsDescribed holds the names of topics in topics.go against the document.
func TestEveryTopicIsDescribed(t *testing.T) {
	t.Parallel()
	file, err := parser.ParseFile(token.NewFileSet(), "topics.go", nil, 0)
	require.NoError(t, err)
	var named, described []string
	ast.Inspect(file, func(n ast.Node) bool {
		if c, ok := n.(*ast.ValueSpec); ok && strings.HasPrefix(c.Names[0].Name, "topic") {
			text, err := strconv.Unquote(c.Values[0].(*ast.BasicLit).Value)
			require.NoError(t, err)
			named = append(named, text)
		}
		return true
	})
	for _, c := range description(t).Channels {
		described = append(described, c.Address[strings.LastIndex(c.Address, "/")+1:])
	}
	assert.ElementsMatch(t, described, named)
}
