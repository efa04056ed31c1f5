package mqtt

import "errors"

// row is one row of the record as messages.
type row struct {
	messages []message
	landed   func() // called once all of them have arrived
}

// flight are messages on their way, oldest first.
type flight struct {
	s      *session
	out    []receipt
	landed []func() // per receipt; nil where its row has more
}

// land waits until at most down messages are on their way.
func (l *flight) land(down int) error {
	for len(l.out) > down {
		if err := l.s.wait(l.out[0]); err != nil {
			return err
		}
		if done := l.landed[0]; done != nil {
			done()
		}
		l.out, l.landed = l.out[1:], l.landed[1:]
	}
	return nil
}

// send publishes rows in order, at most a window of messages unanswered.
func (f *Feed) send(s *session, rows []row) error {
	defer f.cursors.keep(f.rec)
	flying := flight{s: s}
	for _, row := range rows {
		if len(row.messages) == 0 { // nothing to say about it
			if err := flying.land(0); err != nil {
				return err
			}
			row.landed()
		}
		for i, m := range row.messages {
			if err := flying.land(f.opts.Window - 1); err != nil {
				return err
			}
			r, err := s.publish(m)
			if err != nil {
				return errors.Join(err, flying.land(0))
			}
			flying.out = append(flying.out, r)
			flying.landed = append(flying.landed, nil)
			if i == len(row.messages)-1 {
				flying.landed[len(flying.landed)-1] = row.landed
			}
		}
	}
	return flying.land(0)
}
