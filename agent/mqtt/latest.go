package mqtt

import (
	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// latest is what a late subscriber to a loop needs, as last sent. It goes out
// again at each connection, because a broker without a disk forgets.
type latest struct {
	decision, tonight, alerts, readings []message
}

func (l latest) messages() []message {
	all := append([]message{}, l.decision...)
	all = append(all, l.tonight...)
	all = append(all, l.alerts...)
	return append(all, l.readings...)
}

// remember takes note of an event that was acknowledged. One that was only sent
// must not go out again before what was lost with it.
func (f *Feed) remember(e record.Event) {
	l := f.latest[e.Loop]
	switch e.Kind {
	case record.KindDecision:
		l.decision = f.eventMessages(e)
	case record.KindTonight:
		l.tonight = f.eventMessages(e)
	case record.KindAlert:
		l.alerts = f.alertsInForce(e)
	default:
		return
	}
	f.latest[e.Loop] = l
}

func (f *Feed) rememberReading(loop string, m []message) {
	l := f.latest[loop]
	l.readings = m
	f.latest[loop] = l
}

// lookBack is how many events before the cursor are searched for the latest
// decision and alert of the last run.
const lookBack = 20000

// recall finds, after a start, what was last sent before it. A loop of which no
// alert was ever recorded gets an empty list.
func (f *Feed) recall() error {
	if f.recalled {
		return nil
	}
	sent := f.cursors.events.Load()
	from := sent
	for from > 0 && sent-from < lookBack && !f.complete() {
		upto := from
		from = max(0, from-page*8)
		events, err := f.rec.EventsAfter(f.deadline, from, int(upto-from))
		if err != nil {
			return err
		}
		for i := len(events) - 1; i >= 0; i-- {
			if e := events[i]; e.Seq <= upto && !f.holds(e) {
				f.remember(e)
			}
		}
	}
	if from == 0 {
		f.assumeNone()
	}
	f.recalled = true
	return f.recallReadings()
}

func (f *Feed) complete() bool {
	for _, line := range f.lines {
		if l := f.latest[line.Name]; l.decision == nil || l.alerts == nil {
			return false
		}
	}
	return true
}

// holds says whether a newer event of the kind is remembered already.
func (f *Feed) holds(e record.Event) bool {
	l := f.latest[e.Loop]
	return e.Kind == record.KindDecision && l.decision != nil || e.Kind == record.KindTonight && l.tonight != nil || e.Kind == record.KindAlert && l.alerts != nil
}

func (f *Feed) assumeNone() {
	for _, line := range f.lines {
		l := f.latest[line.Name]
		if l.alerts == nil {
			doc := encode(wire.Alerts{Head: f.head(line.Name), Active: []wire.Active{}})
			l.alerts = []message{{f.topics.loop(line.Name, topicAlerts), true, doc}}
			f.latest[line.Name] = l
		}
	}
}

func (f *Feed) recallReadings() error {
	sent := f.cursors.readings.Load()
	from := max(0, sent-page)
	readings, err := f.rec.ReadingsAfter(f.deadline, from, int(sent-from))
	if err != nil {
		return err
	}
	for _, x := range readings {
		if x.Seq <= sent {
			f.rememberReading(x.Loop, f.readingMessages(x))
		}
	}
	return nil
}
