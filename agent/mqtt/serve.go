package mqtt

import (
	"context"
	"errors"
)

// page is how many events, or readings of a backlog, are read from the record at
// once. Events are looked for between two pages of readings.
const page = 64

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

// drain sends until the record has nothing more: all events before each page of
// readings. Between pages readings stay on their way: a broker that saves on packets
// holds its last acknowledgement back, 40 ms for each time that nothing else follows.
func (f *Feed) drain(s *session) error {
	l := &flight{s: s}
	sent := f.cursors.readings.Load()
	for {
		if err := f.sendPressing(l); err != nil {
			return err
		}
		readings, err := f.rec.ReadingsAfter(s.ctx, sent, page)
		if err != nil {
			return err
		}
		if len(readings) == 0 {
			return f.settle(l)
		}
		if readings[0].Seq != sent+1 || f.over(int64(f.opts.Backlog)/10) {
			if sent, err = f.skip(l, readings[0].Seq); err != nil {
				return err
			}
			continue
		}
		if err := f.send(l, f.readingRows(readings)); err != nil {
			return err
		}
		sent = readings[len(readings)-1].Seq
	}
}

// sendPressing sends what does not wait behind readings.
func (f *Feed) sendPressing(l *flight) error {
	if err := f.drainEvents(l); err != nil {
		return err
	}
	if err := f.sendSettings(l.s); err != nil {
		return err
	}
	return f.sendFleeting(l.s)
}

// settle waits for all that is on its way and keeps how far that is.
func (f *Feed) settle(l *flight) error {
	defer f.cursors.keep(f.rec)
	return l.land(0)
}

// skip passes over what the record no longer holds before its next reading, and what
// is beyond the backlog, once nothing is on its way that would move the cursor back.
// It returns where to go on.
func (f *Feed) skip(l *flight, next int64) (int64, error) {
	if err := f.settle(l); err != nil {
		return 0, err
	}
	f.missing(next)
	f.trim(int64(f.opts.Backlog) / 10)
	return f.cursors.readings.Load(), nil
}

// drainEvents sends all events and waits until they have arrived.
func (f *Feed) drainEvents(l *flight) error {
	for {
		events, err := f.rec.EventsAfter(l.s.ctx, f.cursors.events.Load(), page)
		if err != nil || len(events) == 0 {
			return err
		}
		if err := f.send(l, f.eventRows(events)); err != nil {
			return err
		}
		if err := f.settle(l); err != nil {
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
