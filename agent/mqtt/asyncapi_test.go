package mqtt

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	asyncapi "github.com/asyncapi/spec-json-schemas/v6"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// standard is the AsyncAPI Initiative's own JSON schema of AsyncAPI 3.0.0, from its
// module, bindings for MQTT included. That module loads it into a place of its own each
// time, so it is asked once.
func standard(t *testing.T) *jsonschema.Schema {
	t.Helper()
	s, err := compiled()
	require.NoError(t, err)
	return s
}

var compiled = sync.OnceValues(func() (*jsonschema.Schema, error) {
	const address = "http://asyncapi.com/definitions/3.0.0/asyncapi.json"
	text, err := asyncapi.Get("3.0.0")
	if err != nil {
		return nil, err
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft7)
	c.AssertFormat()
	if err := c.AddResource(address, doc); err != nil {
		return nil, err
	}
	return c.Compile(address)
})

// validate holds a document against the standard's schema, and then against what the
// standard says in words only.
func validate(s *jsonschema.Schema, text []byte) error {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	if err := s.Validate(doc); err != nil {
		return err
	}
	if err := refsLead(doc, doc, ""); err != nil {
		return err
	}
	for _, rule := range []func(root any) error{operationsAgree, parametersAgree} {
		if err := rule(doc); err != nil {
			return err
		}
	}
	return nil
}

// refsLead says which reference leads nowhere (AsyncAPI 3.0.0, "Reference Object").
func refsLead(root, v any, where string) error {
	switch v := v.(type) {
	case []any:
		for i, x := range v {
			if err := refsLead(root, x, fmt.Sprintf("%s/%d", where, i)); err != nil {
				return err
			}
		}
	case map[string]any:
		if ref, ok := v["$ref"].(string); ok && at(root, ref) == nil {
			return fmt.Errorf("%s leads nowhere: %s", where, ref)
		}
		for name, x := range v {
			if err := refsLead(root, x, where+"/"+name); err != nil {
				return err
			}
		}
	}
	return nil
}

// at is what a reference within the document leads to; nil where that is nothing.
func at(root any, ref string) any {
	path, ok := strings.CutPrefix(ref, "#/")
	if !ok {
		return nil
	}
	for _, name := range strings.Split(path, "/") {
		m, _ := root.(map[string]any)
		if root = m[strings.NewReplacer("~1", "/", "~0", "~").Replace(name)]; root == nil {
			return nil
		}
	}
	return root
}

// operationsAgree: an operation's channel is one of the document, and its messages are
// that channel's (AsyncAPI 3.0.0, "Operation Object").
func operationsAgree(root any) error {
	for name, o := range object(root, "operations") {
		channel, _ := object(o, "channel")["$ref"].(string)
		if !regexp.MustCompile(`^#/channels/[^/]+$`).MatchString(channel) {
			return fmt.Errorf("operation %s: %q is no channel of the document", name, channel)
		}
		messages, _ := o.(map[string]any)["messages"].([]any)
		for _, m := range messages {
			ref, _ := m.(map[string]any)["$ref"].(string)
			if !strings.HasPrefix(ref, channel+"/messages/") {
				return fmt.Errorf("operation %s: message %q is not of its channel", name, ref)
			}
		}
	}
	return nil
}

// parametersAgree: an address's parameters are those its channel defines (AsyncAPI
// 3.0.0, "Parameters Object").
func parametersAgree(root any) error {
	for name, c := range object(root, "channels") {
		address, _ := c.(map[string]any)["address"].(string)
		var used, defined []string
		for _, m := range regexp.MustCompile(`\{([^}]*)\}`).FindAllStringSubmatch(address, -1) {
			used = append(used, m[1])
		}
		for p := range object(c, "parameters") {
			defined = append(defined, p)
		}
		slices.Sort(used)
		slices.Sort(defined)
		if !slices.Equal(used, defined) {
			return fmt.Errorf("channel %s: its address has the parameters %q, defined are %q", name, used, defined)
		}
	}
	return nil
}

// object is a member that is an object; nil where it is none.
func object(v any, name string) map[string]any {
	m, _ := v.(map[string]any)
	o, _ := m[name].(map[string]any)
	return o
}

func TestDocumentIsAsyncAPI(t *testing.T) {
	t.Parallel()
	require.NoError(t, validate(standard(t), []byte(Document())))
}

// TestBrokenDocumentsAreRefused shows that the validation can fail. Each row changes
// the document in one place.
func TestBrokenDocumentsAreRefused(t *testing.T) {
	t.Parallel()
	s := standard(t)
	rows := []struct{ name, from, to string }{
		{"no version", `"asyncapi": "3.0.0",`, ``},
		{"another version", `"asyncapi": "3.0.0"`, `"asyncapi": "2.6.0"`},
		{"no title", `"title": "duskloop messages",`, ``},
		{"title a number", `"duskloop messages"`, `7`},
		{"unknown member", `"defaultContentType"`, `"defaultContentTyp"`},
		{"address a number", `"duskloop/presence"`, `5`},
		{"unknown member of a channel", `"address": "duskloop/presence"`, `"adress": "duskloop/presence"`},
		{"unknown action", `"action": "receive"`, `"action": "publish"`},
		{"no action", `"action": "receive",`, ``},
		{"no channel", `"channel": {"$ref": "#/channels/command"},`, ``},
		{"dangling channel", `{"$ref": "#/channels/command"}`, `{"$ref": "#/channels/commands"}`},
		{"dangling message", `"#/channels/alerts/messages/Alerts"`, `"#/channels/alerts/messages/Alarms"`},
		{"message of another channel", `"#/channels/alerts/messages/Alerts"`, `"#/channels/alert/messages/Alert"`},
		{"dangling schema", `{"payload": {"$ref": "#/components/schemas/Presence"}}`, `{"payload": {"$ref": "#/components/schemas/Present"}}`},
		{"dangling schema deep down", `"severity": {"$ref": "#/components/schemas/Severity"}`, `"severity": {"$ref": "#/components/schemas/Gravity"}`},
		{"reference to a file", `{"$ref": "#/components/schemas/Severity"}`, `{"$ref": "other.json#/Severity"}`},
		{"type of a schema", `"type": "integer"`, `"type": "whole"`},
		{"required not a list", `"required": ["presence", "time", "simulated"]`, `"required": "presence"`},
		{"bound a word", `"minimum": 1,`, `"minimum": "one",`},
		{"service that MQTT has not", `"qos": 1`, `"qos": 3`},
		{"retain a word", `"retain": true`, `"retain": "yes"`},
		{"parameter not defined", `duskloop/{loop}/answer`, `duskloop/{loop}/{part}`},
		{"parameter not used", `duskloop/{loop}/answer`, `duskloop/answer`},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			text := strings.Replace(Document(), row.from, row.to, 1)
			require.NotEqual(t, Document(), text, "the row changes something")
			require.True(t, json.Valid([]byte(text)), "and leaves it JSON")
			assert.Error(t, validate(s, []byte(text)))
		})
	}
}
