package mqtt

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"

	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// Settings lists the settings of a loop that may be changed while it runs.
type Settings struct {
	wire.Head
	Settings []wire.Setting `json:"settings"`
}

// encode writes a document of ours on one line.
func encode(doc any) []byte {
	b, err := json.Marshal(doc)
	if err != nil {
		panic(fmt.Sprintf("document %T: %v", doc, err)) // plain finite data; a programmer's error
	}
	return b
}

// numbered writes an event's document on one line with the event's number as
// its first field.
func numbered(seq int64, body []byte) ([]byte, error) {
	var line bytes.Buffer
	if err := json.Compact(&line, body); err != nil {
		return nil, err
	}
	b := line.Bytes()
	if b[0] != '{' {
		return nil, fmt.Errorf("not an object")
	}
	out := append([]byte(`{"seq":`), strconv.FormatInt(seq, 10)...)
	if len(b) > len("{}") {
		out = append(out, ',')
	}
	return append(out, b[1:]...), nil
}

func (f *Feed) eventRows(events []record.Event) []row {
	rows := make([]row, len(events))
	for i, e := range events {
		rows[i] = row{f.eventMessages(e), func() {
			f.cursors.events.Store(e.Seq)
			f.remember(e)
			if e.Kind == record.KindSetting {
				f.stale[e.Loop] = true
			}
		}}
	}
	return rows
}

// eventMessages are the messages an event makes. One that cannot be sent is
// logged and passed over: it would stop everything behind it.
func (f *Feed) eventMessages(e record.Event) []message {
	doc, err := numbered(e.Seq, e.Body)
	if err != nil {
		f.opts.Log.Error("event cannot be sent", "seq", e.Seq, "kind", e.Kind, "error", err)
		return nil
	}
	switch e.Kind {
	case record.KindDecision:
		return []message{{f.topics.loop(e.Loop, topicDecision), true, doc}}
	case record.KindTonight:
		return []message{{f.topics.loop(e.Loop, topicTonight), true, doc}}
	case record.KindAlert:
		return append([]message{{f.topics.loop(e.Loop, topicAlert), false, doc}}, f.alertsInForce(e)...)
	case record.KindSetting, record.KindHand:
		return []message{{f.topics.loop(e.Loop, topicChange), false, doc}}
	case record.KindAnswer:
		return []message{{f.topics.loop(e.Loop, topicAnswer), false, doc}}
	case record.KindDaemon:
		return []message{{f.topics.daemon(topicDaemon), false, doc}}
	}
	f.opts.Log.Error("event of unknown kind not sent", "seq", e.Seq, "kind", e.Kind)
	return nil
}

// alertsInForce is the retained list that an alert's event carries.
func (f *Feed) alertsInForce(e record.Event) []message {
	var a wire.Alert
	if err := json.Unmarshal(e.Body, &a); err != nil {
		f.opts.Log.Error("alerts in force cannot be sent", "seq", e.Seq, "error", err)
		return nil
	}
	if a.Active == nil {
		a.Active = []wire.Active{}
	}
	doc, err := numbered(e.Seq, encode(wire.Alerts{Head: a.Head, Active: a.Active}))
	if err != nil {
		return nil
	}
	return []message{{f.topics.loop(e.Loop, topicAlerts), true, doc}}
}

func (f *Feed) settings(loop string, list []wire.Setting) message {
	if list == nil {
		list = []wire.Setting{}
	}
	return message{f.topics.loop(loop, topicSettings), true, encode(Settings{f.head(loop), list})}
}

func (f *Feed) heartbeat(h wire.Heartbeat) message {
	return message{f.topics.daemon(topicHeartbeat), false, encode(h)}
}

// plainAnswer is an answer that stands in no event, and so has no number.
func (f *Feed) plainAnswer(a wire.Answer) message {
	return message{f.topics.loop(a.Loop, topicAnswer), false, encode(a)}
}
