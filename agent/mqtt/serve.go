package mqtt

import (
	"context"
	"errors"
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
	if err := s.listen(f.watched()...); err != nil {
		return err
	}
	if err := s.say(message{f.topics.daemon(topicPresence), true, f.presence("online")}); errors.Is(err, errLost) {
		return errHangsUp
	} else if err != nil {
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
