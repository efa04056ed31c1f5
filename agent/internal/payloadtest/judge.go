// Package payloadtest holds messages against the AsyncAPI document that describes
// them: the topic must be a channel's, the payload valid by that channel's schema.
package payloadtest

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Judge validates payloads by the schemas of a document. It may be used by several
// goroutines.
type Judge struct {
	channels []channel

	mu   sync.Mutex
	seen map[string]int
}

type channel struct {
	name    string
	pattern *regexp.Regexp
	schema  *jsonschema.Schema
}

// described is what of a document is needed here.
type described struct {
	Channels map[string]struct {
		Address  string         `json:"address"`
		Messages map[string]any `json:"messages"`
	} `json:"channels"`
}

// New reads a document, in JSON, with one message a channel.
func New(t testing.TB, document string) *Judge {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft7) // what AsyncAPI 3.0.0's own schema objects are built on
	c.AssertFormat()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(document))
	var d described
	for _, err := range []error{err, json.Unmarshal([]byte(document), &d), c.AddResource("document.json", doc)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	j := &Judge{seen: make(map[string]int)}
	for name, about := range d.Channels {
		if len(about.Messages) != 1 {
			t.Fatalf("channel %s has %d messages", name, len(about.Messages))
		}
		for message := range about.Messages {
			schema, err := c.Compile("document.json#/components/messages/" + message + "/payload")
			if err != nil {
				t.Fatal(err)
			}
			j.channels = append(j.channels, channel{name, pattern(about.Address), schema})
		}
	}
	return j
}

// pattern is an address as a topic has it; a simulated run's topics have one part more.
func pattern(address string) *regexp.Regexp {
	first, rest, _ := strings.Cut(address, "/")
	return regexp.MustCompile("^" + first + "(/simulated)?/" + strings.ReplaceAll(rest, "{loop}", "[^/]+") + "$")
}

// Check says why a message is not as described, and counts it otherwise.
func (j *Judge) Check(topic, payload string) error {
	at := slices.IndexFunc(j.channels, func(c channel) bool { return c.pattern.MatchString(topic) })
	if at < 0 {
		return fmt.Errorf("topic %s is not described", topic)
	}
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(payload))
	if err != nil {
		return err
	}
	if strings.Contains(payload, "\n") {
		return fmt.Errorf("more than one line on %s", topic)
	}
	if err := j.channels[at].schema.Validate(v); err != nil {
		return err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	j.seen[j.channels[at].name]++
	return nil
}

// Hold fails the test for a message that is not as described.
func (j *Judge) Hold(t testing.TB, topic, payload string) {
	t.Helper()
	if err := j.Check(topic, payload); err != nil {
		t.Errorf("%s %s: %v", topic, payload, err)
	}
}

// Unseen are the channels of which no message was held yet, by name.
func (j *Judge) Unseen() []string {
	j.mu.Lock()
	defer j.mu.Unlock()
	var names []string
	for _, c := range j.channels {
		if j.seen[c.name] == 0 {
			names = append(names, c.name)
		}
	}
	slices.Sort(names)
	return names
}
