package mqtt

import (
	"encoding/json"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/internal/payloadtest"
	"duskloop/agent/wire"
	"duskloop/control"
)

// described is what messages.json says, as far as the tests need it.
type described struct {
	AsyncAPI string `json:"asyncapi"`
	Channels map[string]struct {
		Address  string                    `json:"address"`
		Messages map[string]map[string]any `json:"messages"`
	} `json:"channels"`
	Operations map[string]struct {
		Action   string `json:"action"`
		Bindings struct {
			MQTT struct {
				QoS    int  `json:"qos"`
				Retain bool `json:"retain"`
			} `json:"mqtt"`
		} `json:"bindings"`
	} `json:"operations"`
	Components struct {
		Schemas map[string]shape `json:"schemas"`
	} `json:"components"`
}

type shape struct {
	Properties           map[string]map[string]any `json:"properties"`
	Required             []string                  `json:"required"`
	AdditionalProperties any                       `json:"additionalProperties"`
	Enum                 []string                  `json:"enum"`
}

func description(t *testing.T) described {
	t.Helper()
	var d described
	require.NoError(t, json.Unmarshal([]byte(Document()), &d))
	return d
}

func newJudge(t *testing.T) *payloadtest.Judge {
	t.Helper()
	return payloadtest.New(t, Document())
}

// subscribe is a subscriber of which everything it got, but for what the daemon takes, is
// held against the document at the end of the test.
func subscribe(t *testing.T, addr, filter string, login ...mosquittotest.Login) *mosquittotest.Collector {
	t.Helper()
	c := mosquittotest.Subscribe(t, addr, filter, login...)
	t.Cleanup(func() {
		j := newJudge(t)
		for _, m := range c.Messages() {
			if !strings.HasSuffix(m.Topic, "/"+topicCommand) && !strings.HasSuffix(m.Topic, "/"+topicForecast) {
				j.Hold(t, m.Topic, m.Payload)
			}
		}
	})
	return c
}

// The wire documents and the schema each must agree with, and what stands in
// the schema beside the Go fields.
func documented() map[string]reflect.Type {
	return map[string]reflect.Type{
		"Presence": reflect.TypeFor[wire.Presence](), "Heartbeat": reflect.TypeFor[wire.Heartbeat](),
		"Daemon": reflect.TypeFor[wire.Daemon](), "Decision": reflect.TypeFor[wire.Decision](),
		"Alert": reflect.TypeFor[wire.Alert](), "Alerts": reflect.TypeFor[wire.Alerts](), "Active": reflect.TypeFor[wire.Active](),
		"Change": reflect.TypeFor[wire.Change](), "SettingChange": reflect.TypeFor[wire.SettingChange](),
		"HandChange": reflect.TypeFor[wire.HandChange](), "Answer": reflect.TypeFor[wire.Answer](),
		"Setting": reflect.TypeFor[wire.Setting](), "Settings": reflect.TypeFor[Settings](), "Command": reflect.TypeFor[wire.Command](),
		"Tonight": reflect.TypeFor[wire.Tonight](), "Learned": reflect.TypeFor[wire.Learned](), "Forecast": reflect.TypeFor[wire.Forecast](),
		"Report": reflect.TypeFor[wire.Report](), "Reported": reflect.TypeFor[wire.Reported](),
		"Preview": reflect.TypeFor[wire.Preview](), "PreviewNight": reflect.TypeFor[wire.PreviewNight](), "LeftOut": reflect.TypeFor[wire.LeftOut](),
	}
}

// TestDocumentNamesEveryField holds the structs against the document: a field
// added, renamed or made optional in one and not in the other fails.
func TestDocumentNamesEveryField(t *testing.T) {
	t.Parallel()
	schemas := description(t).Components.Schemas
	numbered := map[string]bool{"Daemon": true, "Decision": true, "Alert": true, "Alerts": true, "Change": true, "Answer": true, "Tonight": true}
	for name, typ := range documented() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s, ok := schemas[name]
			require.True(t, ok, "described")
			require.Equal(t, false, s.AdditionalProperties)
			fields, required := fieldsOf(typ)
			if numbered[name] {
				fields["seq"] = "integer"
			}
			for field, kind := range fields {
				p, ok := s.Properties[field]
				if assert.True(t, ok, "field %q is described", field) && p["type"] != nil {
					assert.Equal(t, kind, p["type"], field)
				}
			}
			for field := range s.Properties {
				assert.Contains(t, fields, field, "described and sent")
			}
			for _, field := range required {
				assert.Contains(t, s.Required, field, "always sent")
			}
			for _, field := range s.Required {
				assert.True(t, field == "seq" || contains(required, field), "%q is described as always sent", field)
			}
		})
	}
}

func contains(list []string, x string) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

// fieldsOf are the JSON fields of a struct with their JSON types, and those
// always present.
func fieldsOf(typ reflect.Type) (fields map[string]string, required []string) {
	fields = make(map[string]string)
	for _, f := range reflect.VisibleFields(typ) {
		tag := f.Tag.Get("json")
		if f.Anonymous || tag == "" {
			continue
		}
		name, options, _ := strings.Cut(tag, ",")
		fields[name] = jsonType(f.Type)
		if !strings.Contains(options, "omitempty") {
			required = append(required, name)
		}
	}
	return fields, required
}

func jsonType(t reflect.Type) string {
	if t.Implements(reflect.TypeFor[interface{ MarshalText() ([]byte, error) }]()) {
		return "string"
	}
	switch t.Kind() {
	case reflect.Pointer:
		return jsonType(t.Elem())
	case reflect.String:
		return "string"
	case reflect.Bool:
		return "boolean"
	case reflect.Int, reflect.Int64:
		return "integer"
	case reflect.Float64:
		return "number"
	case reflect.Slice:
		return "array"
	}
	return "object"
}

// TestDocumentNamesEveryWord holds the enumerations against the tables they are
// of.
func TestDocumentNamesEveryWord(t *testing.T) {
	t.Parallel()
	schemas := description(t).Components.Schemas
	rows := []struct {
		schema string
		word   func(i int) string
		end    string // what word says beyond the last
	}{
		{"Mode", func(i int) string { return control.Mode(i).String() }, control.Mode(0).String()},
		{"Reason", func(i int) string { return control.Reason(i).String() }, control.Reason(0).String()},
		{"AlertCode", func(i int) string { return control.AlertCode(i).String() }, "no-alert"},
		{"Severity", func(i int) string { return control.Severity(i).String() }, control.Severity(0).String()},
		{"Order", func(i int) string { return control.OrderKind(i).String() }, "no-order"},
		{"Place", func(i int) string { return control.Place(i).String() }, "no-place"},
	}
	for _, row := range rows {
		t.Run(row.schema, func(t *testing.T) {
			t.Parallel()
			var words []string
			for i := 0; i == 0 || row.word(i) != row.end; i++ {
				words = append(words, row.word(i))
			}
			assert.Equal(t, words, schemas[row.schema].Enum)
		})
	}
}

// TestTableNamesEveryTopic holds the table for people against the document.
func TestTableNamesEveryTopic(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("MESSAGES.md")
	require.NoError(t, err)
	d := description(t)
	require.Equal(t, "3.0.0", d.AsyncAPI)
	rows := 0
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "| `duskloop/") {
			rows++
		}
	}
	assert.Equal(t, len(d.Channels), rows)
	for name, c := range d.Channels {
		keeps := map[bool]string{true: "yes", false: "no"}[d.Operations[name].Bindings.MQTT.Retain]
		address := strings.ReplaceAll(c.Address, "{loop}", "LOOP")
		assert.Regexp(t, regexp.MustCompile(`(?m)^\| `+"`"+regexp.QuoteMeta(address)+"`"+` \| `+keeps+` \|`), string(text), name)
		assert.Equal(t, 1, d.Operations[name].Bindings.MQTT.QoS, name)
	}
}

// TestJudgeRefuses shows that the check can fail.
func TestJudgeRefuses(t *testing.T) {
	t.Parallel()
	j := newJudge(t)
	good := `{"presence":"online","time":"2026-01-15T17:00:00Z","simulated":true}`
	require.NoError(t, j.Check("duskloop/presence", good))
	rows := []struct{ name, topic, payload string }{
		{"topic", "duskloop/attendance", good},
		{"loop's topic", "duskloop/bench/presence", good},
		{"field", "duskloop/presence", strings.Replace(good, "{", `{"mood":"fine",`, 1)},
		{"field missing", "duskloop/presence", `{"presence":"online","time":"2026-01-15T17:00:00Z"}`},
		{"word", "duskloop/presence", strings.Replace(good, "online", "asleep", 1)},
		{"time zone", "duskloop/presence", strings.Replace(good, "Z", "+01:00", 1)},
		{"unit", "duskloop/bench/readings", `[{"bn":"a/","n":"simulated","vb":true},{"n":"pump","u":"%","v":1},{"n":"fans","u":"/","v":1},{"n":"contactor-closed","vb":true},{"n":"buzzer","vb":true}]`},
		{"not JSON", "duskloop/presence", "online"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Error(t, j.Check(row.topic, row.payload))
		})
	}
}

// TestCommandsAsDescribed holds the description of a command against the parser.
func TestCommandsAsDescribed(t *testing.T) {
	t.Parallel()
	j := newJudge(t)
	for _, text := range []string{
		`{"id":"1","who":"grower","set":{"start_difference":"14 °F"}}`, `{"hand":"run-pump","for":"10 min"}`, `{"back":true}`, `{"hand":"end"}`, `{"show":true}`, `{"readings":true}`,
		`{"preview":{"crop.minimum":"7 °C"}}`, `{"id":"2","preview":{"crop.minimum":"7 °C"},"nights":14}`,
	} {
		_, err := wire.ParseCommand([]byte(text))
		require.NoError(t, err, text)
		assert.NoError(t, j.Check("duskloop/bench/command", text), text)
	}
	for _, text := range []string{`{}`, `{"show":true,"hand":"end"}`, `{"hand":"dance"}`, `{"set":{}}`, `{"set":{"a":1}}`, `{"back":false}`, `{"back":true,"show":true}`, `{"show":false}`, `{"readings":false}`, `{"readings":true,"show":true}`, `{"now":1,"show":true}`,
		`{"preview":{}}`, `{"preview":{"a":1}}`, `{"preview":{"a":"1"},"show":true}`, `{"preview":{"a":"1"},"nights":15}`, `{"preview":{"a":"1"},"nights":-1}`, `{"show":true,"nights":7}`} {
		_, err := wire.ParseCommand([]byte(text))
		require.Error(t, err, text)
		assert.Error(t, j.Check("duskloop/bench/command", text), text)
	}
}

// TestForecastsAsDescribed holds the description of a forecast against the parser.
func TestForecastsAsDescribed(t *testing.T) {
	t.Parallel()
	j := newJudge(t)
	const begin = `{"from":"2026-01-15T18:00:00Z","step_s":3600,`
	for _, text := range []string{begin + `"air_c":[1.5,-2]}`, begin + `"air_c":[1,2],"sun_w_m2":[0,430]}`} {
		_, err := wire.ParseForecast([]byte(text))
		require.NoError(t, err, text)
		assert.NoError(t, j.Check("duskloop/bench/forecast", text), text)
	}
	for _, text := range []string{
		`{}`, begin + `"air_c":[]}`, begin + `"air_c":[274]}`, begin + `"air_c":["1"]}`, begin + `"air_c":[1],"sun_w_m2":[-1]}`,
		begin + `"air_c":[1],"wind":[1]}`, strings.Replace(begin, "3600", "60", 1) + `"air_c":[1]}`,
	} {
		_, err := wire.ParseForecast([]byte(text))
		require.Error(t, err, text)
		assert.Error(t, j.Check("duskloop/bench/forecast", text), text)
	}
}
