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

// send publishes rows in order behind what is on its way, at most a window of
// messages unanswered. The last of them are on their way when it returns.
func (f *Feed) send(l *flight, rows []row) error {
	defer f.cursors.keep(f.rec)
	for _, row := range rows {
		if len(row.messages) == 0 { // nothing to say about it
			if err := l.land(0); err != nil {
				return err
			}
			row.landed()
		}
		for i, m := range row.messages {
			if err := l.land(f.opts.Window - 1); err != nil {
				return err
			}
			r, err := l.s.publish(m)
			if err != nil {
				return errors.Join(err, l.land(0))
			}
			l.out = append(l.out, r)
			l.landed = append(l.landed, nil)
			if i == len(row.messages)-1 {
				l.landed[len(l.landed)-1] = row.landed
			}
		}
	}
	return nil
}
