package mqtt

import (
	"context"
	"errors"
	"fmt"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"

	"duskloop/agent/wire"
)

const (
	page = 64 // events read from the record at once
	// batch is how many windows of readings go between two looks for events. At
	// the end of each the last acknowledgements are waited for, which brokers
	// that save on packets delay: 5,000 readings to a Mosquitto on the same
	// computer took 5.3 s with one window and 1.7 s with four.
	batch = 4
)

// serve keeps the broker up to date over one connection until that is lost or
// the feed is stopped.
func (f *Feed) serve(s *session) error {
	rows, end := f.rec.Watch()
	defer end()
	if err := f.greet(s); err != nil {
		return err
	}
	f.up()
	for {
		err := f.drain(s)
		if f.isStopping() {
			return f.leave(s, err)
		}
		if err != nil {
			return err
		}
		select {
		case <-rows:
		case h := <-f.beat:
			err = s.say(f.heartbeat(h))
		case a := <-f.answers:
			err = s.say(f.plainAnswer(a))
		case <-s.lost:
			err = errLost
		case <-f.stopping:
		}
		if err != nil && !f.isStopping() {
			return err
		}
	}
}

// greet says online, gives the broker back what late subscribers look for, in
// case it forgot, and passes over what is beyond the backlog.
func (f *Feed) greet(s *session) error {
	select {
	case <-f.beat: // one from before the connection says nothing about now
	default:
	}
	if err := s.say(message{f.topics.daemon(topicPresence), true, f.presence("online")}); err != nil {
		return err
	}
	if err := f.recall(); err != nil {
		return err
	}
	for _, l := range f.lines {
		f.stale[l.Name] = true
		for _, m := range f.latest[l.Name].messages() {
			if err := s.say(m); err != nil {
				return err
			}
		}
	}
	f.trim(0)
	return f.subscribe(s)
}

// drain sends until the record has nothing more: all events before each batch
// of readings.
func (f *Feed) drain(s *session) error {
	for {
		if err := f.drainEvents(s); err != nil {
			return err
		}
		if err := f.sendSettings(s); err != nil {
			return err
		}
		if err := f.sendFleeting(s); err != nil {
			return err
		}
		f.trim(int64(f.opts.Backlog) / 10)
		readings, err := f.rec.ReadingsAfter(s.ctx, f.cursors.readings.Load(), batch*f.opts.Window)
		if err != nil {
			return err
		}
		if len(readings) == 0 {
			return nil
		}
		f.missing(readings[0].Seq)
		if err := f.send(s, f.readingRows(readings)); err != nil {
			return err
		}
	}
}

func (f *Feed) drainEvents(s *session) error {
	for {
		events, err := f.rec.EventsAfter(s.ctx, f.cursors.events.Load(), page)
		if err != nil || len(events) == 0 {
			return err
		}
		if err := f.send(s, f.eventRows(events)); err != nil {
			return err
		}
	}
}

// sendFleeting sends a heartbeat and answers that wait, also amid a backlog.
func (f *Feed) sendFleeting(s *session) error {
	for {
		select {
		case h := <-f.beat:
			if err := s.say(f.heartbeat(h)); err != nil {
				return err
			}
		case a := <-f.answers:
			if err := s.say(f.plainAnswer(a)); err != nil {
				return err
			}
		default:
			return nil
		}
	}
}

// row is one row of the record as messages.
type row struct {
	messages []message
	landed   func() // called once all of them are acknowledged
}

// flight are messages on their way, oldest first.
type flight struct {
	s      *session
	tokens []paho.Token
	landed []func() // per token; nil where its row has more
}

// land waits until at most down messages are on their way.
func (l *flight) land(down int) error {
	for len(l.tokens) > down {
		if err := l.s.wait(l.tokens[0]); err != nil {
			return err
		}
		if done := l.landed[0]; done != nil {
			done()
		}
		l.tokens, l.landed = l.tokens[1:], l.landed[1:]
	}
	return nil
}

// send publishes rows in order, at most a window of messages unanswered.
func (f *Feed) send(s *session, rows []row) error {
	defer f.cursors.keep(f.rec)
	flying := flight{s: s}
	for _, r := range rows {
		if len(r.messages) == 0 { // nothing to say about it
			if err := flying.land(0); err != nil {
				return err
			}
			r.landed()
		}
		for i, m := range r.messages {
			if err := flying.land(f.opts.Window - 1); err != nil {
				return err
			}
			t, err := s.publish(m)
			if err != nil {
				return errors.Join(err, flying.land(0))
			}
			flying.tokens = append(flying.tokens, t)
			flying.landed = append(flying.landed, nil)
			if i == len(r.messages)-1 {
				flying.landed[len(flying.landed)-1] = r.landed
			}
		}
	}
	return flying.land(0)
}

// sendSettings sends the settings of loops where they may have changed. Not
// being told them is no reason to give up the connection.
func (f *Feed) sendSettings(s *session) error {
	for _, line := range f.lines {
		if !f.stale[line.Name] || f.isStopping() {
			continue
		}
		list, err := f.settingsOf(s.ctx, line)
		if err != nil {
			f.opts.Log.Warn("settings not sent", "loop", line.Name, "error", err)
			continue
		}
		if err := s.say(f.settings(line.Name, list)); err != nil {
			return err
		}
		f.stale[line.Name] = false
	}
	return nil
}

// settingsOf asks a loop for its settings, for a little while: the loop answers
// between two ticks.
func (f *Feed) settingsOf(ctx context.Context, line Line) ([]wire.Setting, error) {
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	stop := context.AfterFunc(f.intake.ctx, cancel) // Stop does not wait for a loop that has ended
	defer stop()
	if line.Settings != nil {
		return line.Settings(ctx)
	}
	if line.Submit == nil {
		return nil, errors.New("nobody to ask")
	}
	a, err := line.Submit(ctx, []byte(`{"show":true}`), "mqtt")
	if err == nil && !a.Accepted {
		err = fmt.Errorf("asking for settings: %s", a.Reason)
	}
	return a.Settings, err
}

// leave sends the rest and says offline, also when the time was up before all
// was sent: the will is not sent after a disconnection in good order.
func (f *Feed) leave(s *session, err error) error {
	if err == nil {
		err = f.drain(s)
	}
	s.ctx, s.ack = context.Background(), partIn
	if said := s.say(message{f.topics.daemon(topicPresence), true, f.presence("offline")}); said != nil {
		return errors.Join(err, said)
	}
	s.parted = true
	return err
}
