package mqtt

import (
	"errors"

	paho "github.com/eclipse/paho.mqtt.golang"
)

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
