package wire

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
)

func TestCommands(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, text, problem string }{
		{"a setting", `{"id":"1","set":{"start_difference":"14 °F"}}`, ""},
		{"by hand", `{"hand":"run-pump","for":"10 min"}`, ""},
		{"end", `{"hand":"end"}`, ""},
		{"show", `{"show":true}`, ""},
		{"readings", `{"readings":true}`, ""},
		{"preview", `{"preview":{"start_difference":"14 °F"}}`, ""},
		{"preview of two weeks", `{"preview":{"start_difference":"14 °F"},"nights":14}`, ""},
		{"preview of nothing", `{"preview":{}}`, "give one of"},
		{"preview and set", `{"set":{"a":"1"},"preview":{"a":"1"}}`, "give one of"},
		{"too many nights", `{"preview":{"a":"1"},"nights":15}`, "1 to 14"},
		{"fewer than no nights", `{"preview":{"a":"1"},"nights":-1}`, "1 to 14"},
		{"nights of a set", `{"set":{"a":"1"},"nights":7}`, "nights goes with preview"},
		{"back", `{"back":true}`, ""},
		{"back and set", `{"back":true,"set":{"a":"1"}}`, "give one of"},
		{"not back", `{"back":false}`, "give one of"},
		{"nothing", `{}`, "give one of"},
		{"two things", `{"show":true,"hand":"end"}`, "give one of"},
		{"unknown field", `{"show":true,"now":1}`, "unknown field"},
		{"same field twice", `{"hand":"end","hand":"hold"}`, "stands twice"},
		{"same setting twice", `{"set":{"a":"1","a":"2"}}`, "stands twice"},
		{"trailing text", `{"show":true} {"show":true}`, "text after"},
		{"no time", `{"hand":"hold"}`, "how long"},
		{"too long", `{"hand":"run-pump","for":"3 h"}`, "1 s to 2 h"},
		{"not a number", `{"hand":"hold","for":"NaN h"}`, "no number"},
		{"a time where none goes", `{"hand":"end","for":"1 h"}`, "takes no time"},
		{"unknown order", `{"hand":"dance","for":"1 h"}`, "by hand there is"},
		{"not an object", `[1]`, "not the JSON"},
		{"a number as value", `{"set":{"start_difference":14}}`, "not the JSON"},
		{"not JSON", `set`, "not JSON"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, err := ParseCommand([]byte(row.text))
			if row.problem == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, ErrCommand)
			assert.ErrorContains(t, err, row.problem)
		})
	}
}

func TestOrderOfACommand(t *testing.T) {
	t.Parallel()
	o, err := Command{Hand: "watch", For: "7 days"}.Order()
	require.NoError(t, err)
	assert.Equal(t, control.Order{Kind: control.WatchOnly, For: 7 * 24 * time.Hour}, o)
}

func FuzzParseCommand(f *testing.F) {
	f.Add([]byte(`{"id":"1","set":{"start_difference":"14 °F"}}`))
	f.Add([]byte(`{"hand":"hold","for":"1 h"}`))
	f.Add([]byte(`{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":1}}}}}}}}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := ParseCommand(data)
		if err != nil {
			if !errors.Is(err, ErrCommand) {
				t.Fatalf("refusal without its sentinel: %v", err)
			}
			return
		}
		if c.Hand != "" {
			o, err := c.Order()
			if err != nil || o.For < 0 || o.For > o.Kind.Longest() {
				t.Fatalf("accepted order %v is out of bounds: %v", o, err)
			}
		}
	})
}
