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
	by map[string][]byte // an event, by the taste's word and what it is of
}

func newRenders() *renders { return &renders{} }

// stages are what a page follows: the whole first page, its head, or the probes.
const (
	stageFront  = "front"
	stageHead   = "head"
	stageProbes = "probes"
	stageHand   = "hand"
)

// staged is the address of a stage's stream.
func staged(stage, more string) string {
	if more != "" {
		more = "&" + more
	}
	return "/live?of=" + stage + more
}

// eventFor is a moment as a page follows it. What only one looks at is rendered for it.
func (s *Server) eventFor(r *http.Request, m *Moment, pasts map[string]past, t taste) ([]byte, error) {
	switch r.FormValue("of") {
	case stageHand:
		return framed(s.handPieces(m, t))
	case stageHead:
		return s.event(m, pasts, t, true)
	case stageProbes:
		return s.probePieces(r, m, t)
	}
	return s.event(m, pasts, t, false)
}

// probePieces are the list of probes.
func (s *Server) probePieces(r *http.Request, m *Moment, t taste) ([]byte, error) {
	s.house.Seek()
	var b bytes.Buffer
	if err := s.forms.ExecuteTemplate(&b, "devices", s.devicesOf(m, baseOf(r), t)); err != nil {
		return nil, err
	}
	return framed(pieces{"devices": b.String(), "time": t.day(m.At) + ", " + t.clock(m.At)})
}

// framed is an event as it goes out.
func framed(p pieces) ([]byte, error) {
	body, err := json.Marshal(p)
	return fmt.Appendf(nil, "event: moment\ndata: %s\n\n", body), err
}

// event is a moment as a server-sent event, or its head alone.
func (s *Server) event(m *Moment, pasts map[string]past, t taste, head bool) ([]byte, error) {
	s.live.mu.Lock()
	defer s.live.mu.Unlock()
	if s.live.of != m {
		s.live.of, s.live.by = m, make(map[string][]byte)
	}
	name := fmt.Sprint(t.word(), head)
	if e, ok := s.live.by[name]; ok {
		return e, nil
	}
	p := pieces{"time": t.day(m.At) + ", " + t.clock(m.At)}
	if !head {
		var err error
		if p, err = s.pieces(m, pasts, t); err != nil {
			return nil, err
		}
	}
	e, err := framed(p)
	s.live.by[name] = e
	return e, err
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
	p["stamp"], p["meaning"], p["spoken"] = s.nightStamp(m), x.Meaning, x.Spoken
	return p, nil
}

// A stream is written to within answerIn or is dropped, and says that it lives every
// stillAlive. Chosen.
const (
	answerIn   = 10 * time.Second
	stillAlive = 20 * time.Second
	// streamRest is the least time between two events: a demo that runs fast has hundreds
	// of ticks a second. Chosen.
	streamRest = 100 * time.Millisecond
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
	rest := time.NewTimer(streamRest)
	defer rest.Stop()
	for {
		m, pasts, next := s.hub.look()
		text := []byte(": alive\n\n")
		if m != nil && m != last {
			e, err := s.eventFor(r, m, pasts, t)
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
			rest.Reset(streamRest)
			select {
			case <-r.Context().Done():
				return
			case <-rest.C:
			}
		case <-alive.C:
		}
	}
}
