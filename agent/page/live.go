package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// pieces are the parts of the first page that change from tick to tick, by the ids that
// they stand under.
type pieces map[string]string

// renders keeps the latest moment's pieces for each taste, so that fifty who look cost no
// more than one.
type renders struct {
	mu sync.Mutex
	of *Moment
	by map[string][]byte // an event, by the taste's word
}

func newRenders() *renders { return &renders{} }

// event is a moment as a server-sent event.
func (s *Server) event(m *Moment, pasts map[string]past, t taste) ([]byte, error) {
	s.live.mu.Lock()
	defer s.live.mu.Unlock()
	if s.live.of != m {
		s.live.of, s.live.by = m, make(map[string][]byte)
	}
	if e, ok := s.live.by[t.word()]; ok {
		return e, nil
	}
	p, err := s.pieces(m, pasts, t)
	if err != nil {
		return nil, err
	}
	body, err := json.Marshal(p)
	if err != nil {
		return nil, err
	}
	e := fmt.Appendf(nil, "event: moment\ndata: %s\n\n", body)
	s.live.by[t.word()] = e
	return e, nil
}

// pieces rendered by the forms that the whole page uses.
func (s *Server) pieces(m *Moment, pasts map[string]past, t taste) (pieces, error) {
	x := s.frontOf(m, pasts, t)
	p := make(pieces)
	for _, name := range []string{"sentence", "alerts", "now"} {
		var b bytes.Buffer
		if err := s.forms.ExecuteTemplate(&b, name, x); err != nil {
			return nil, err
		}
		p[name] = b.String()
	}
	p["time"] = t.day(m.At) + ", " + t.clock(m.At)
	return p, nil
}

// A stream is written to within answerIn or is dropped, and says that it lives every
// stillAlive. Chosen.
const (
	answerIn   = 10 * time.Second
	stillAlive = 20 * time.Second
)

// stream sends a moment after each tick, for as long as anybody looks.
func (s *Server) stream(w http.ResponseWriter, r *http.Request) {
	out := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	t := tasteOf(r, &s.home)
	var last *Moment
	alive := time.NewTicker(stillAlive)
	defer alive.Stop()
	for {
		m, pasts, next := s.hub.look()
		text := []byte(": alive\n\n")
		if m != nil && m != last {
			e, err := s.event(m, pasts, t)
			if err != nil {
				s.log.Error("page", "stream", err)
				return
			}
			text, last = e, m
		}
		_ = out.SetWriteDeadline(time.Now().Add(answerIn)) // a plain recorder has none
		if _, err := w.Write(text); err != nil || out.Flush() != nil {
			return
		}
		select {
		case <-r.Context().Done():
			return
		case <-next:
		case <-alive.C:
		}
	}
}
