package page

import (
	"bytes"
	"context"
	"embed"
	"encoding/json"
	"html/template"
	"io"
	"log/slog"
	"net/http"
	"sync/atomic"
	"time"

	"duskloop/agent/page/access"
)

//go:embed form
var formFiles embed.FS

// Server answers the page's requests. Make it with New.
type Server struct {
	home  Home
	house Greenhouse
	doors *access.Keeper
	hub   *hub
	forms *template.Template
	log   *slog.Logger
	live  *renders
	drawn *drawings
	still still
	shown atomic.Int64 // unix nanoseconds of the last moment, by the machine's clock
	now   func() time.Time
}

// Options are what a server is made of.
type Options struct {
	Home  Home
	House Greenhouse
	Log   *slog.Logger
	Now   func() time.Time // the machine's clock
}

// New is a server that has seen nothing yet.
func New(o Options) *Server {
	s := &Server{home: o.Home, house: o.House, hub: newHub(), log: o.Log, now: o.Now}
	s.live, s.drawn = newRenders(), newDrawings()
	var err error
	if s.still, err = stills(); err != nil {
		panic(err) // embedded; a test opens them
	}
	s.forms = template.Must(template.New("").Funcs(template.FuncMap{"nb": nb, "still": s.still.linked}).ParseFS(formFiles, "form/*.html"))
	return s
}

// Show hands over what the loop knew at the end of a tick. It never waits.
func (s *Server) Show(m *Moment) {
	s.shown.Store(s.now().UnixNano())
	s.hub.show(m)
}

// Handler is all of the page behind a door. It is called once, before anybody asks.
func (s *Server) Handler(doors *access.Keeper) http.Handler {
	s.doors = doors
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.front)
	mux.HandleFunc("GET /", s.lost)
	mux.HandleFunc("GET /live", s.stream)
	mux.HandleFunc("GET /night", s.night)
	mux.HandleFunc("GET /state.json", s.state)
	mux.HandleFunc("GET /healthz", s.health)
	mux.HandleFunc("POST /figures", s.remember)
	mux.HandleFunc("GET /day/{day}", s.day)
	mux.HandleFunc("GET /thresholds", s.thresholds)
	mux.HandleFunc("POST /thresholds", s.lookAtThresholds)
	mux.HandleFunc("POST /thresholds/make", s.applyThresholds)
	mux.HandleFunc("GET /hand", s.hand)
	mux.HandleFunc("POST /hand", s.orderByHand)
	mux.HandleFunc("GET /probes", s.probes)
	mux.HandleFunc("GET /record", s.record)
	mux.HandleFunc("GET /record.csv", s.export)
	mux.HandleFunc("GET /enter", s.enter)
	mux.HandleFunc("POST /enter", s.tryEnter)
	mux.HandleFunc("POST /leave", s.leave)
	mux.HandleFunc("GET /first", s.first)
	mux.HandleFunc("POST /first", s.setFirst)
	mux.Handle("GET /still/{name}", s.still)
	return s.doors.Guard(mux)
}

// shell is what every page has about it.
type shell struct {
	Title     string
	Site      string
	Simulated bool
	Time      string
	Tastes    []choice
	Entered   bool   // may change things
	Said      string // what was done; may be empty
	Path      string
	Half      bool   // a 12-hour clock
	Stream    string // what the page follows
}

type choice struct {
	Word, Says string
	Chosen     bool
}

func (s *Server) shell(r *http.Request, title string) shell {
	t := tasteOf(r, &s.home)
	x := shell{Title: title, Site: s.home.Site, Simulated: s.home.Simulated, Path: r.URL.Path, Half: t.half, Stream: staged(stageHead, "")}
	if m, _, _ := s.hub.look(); m != nil {
		x.Time = t.day(m.At) + ", " + t.clock(m.At)
	}
	for _, c := range tastes {
		x.Tastes = append(x.Tastes, choice{c.word, c.says, c.word == t.word()})
	}
	_, x.Entered = s.doors.Who(r)
	return x
}

// show renders a form whole before anything of it is sent.
func (s *Server) show(w http.ResponseWriter, r *http.Request, code int, name string, x any) {
	var b bytes.Buffer
	if err := s.forms.ExecuteTemplate(&b, name, x); err != nil {
		s.log.Error("page", "form", name, "error", err)
		http.Error(w, "This page could not be made.", http.StatusInternalServerError)
		return
	}
	send(w, r, code, "text/html; charset=utf-8", b.Bytes())
}

// state is the live state for machines.
func (s *Server) state(w http.ResponseWriter, _ *http.Request) {
	m, _, _ := s.hub.look()
	var d Documents
	if m != nil {
		d = m.Documents
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(d)
}

// health tells the truth: whether the loop still turns. Late by three periods, and at
// least half a minute, is not well.
func (s *Server) health(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	m, _, _ := s.hub.look()
	if m == nil {
		w.WriteHeader(http.StatusServiceUnavailable)
		_, _ = io.WriteString(w, "starting: no tick yet\n")
		return
	}
	late := s.now().Sub(time.Unix(0, s.shown.Load()))
	if late > max(3*m.Period, 30*time.Second) {
		w.WriteHeader(http.StatusServiceUnavailable)
		_, _ = io.WriteString(w, "the loop stands still: last tick "+ago(late)+" ago\n")
		return
	}
	_, _ = io.WriteString(w, "well: last tick "+ago(late)+" ago\n")
}

// asked bounds what a request may take of the record.
const asked = 20 * time.Second

func bounded(r *http.Request) (context.Context, context.CancelFunc) {
	return context.WithTimeout(r.Context(), asked)
}

// lookedAt bounds a preview: a board of one slow core takes about a minute for its nights.
const lookedAt = 4 * time.Minute
