package access

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"net/http"
	"net/netip"
	"sync"
	"time"
)

// Sessions. Chosen: a telephone that looks in every night is never asked again before
// half a year; one left in a drawer for a month is.
const (
	idleFor     = 30 * 24 * time.Hour
	lastsFor    = 180 * 24 * time.Hour
	mostAtOnce  = 64 // then the one unused longest ends
	cookieBytes = 32
	cookiesRead = 4 // of those with our name; a browser sends one
)

// The cookie's name; under TLS with the prefix by which browsers hold it to this host, "/"
// and Secure (RFC 6265bis, "The __Host- Prefix").
const (
	cookieName   = "duskloop"
	cookieSecure = "__Host-duskloop"
)

// Session is who entered with the password. It holds nothing by which one can enter.
type Session struct {
	ID    string // eight hex digits at random, to tell sessions apart in the record
	From  string // address it was entered from
	Since time.Time
}

// session is one with what ends it.
type session struct {
	Session
	used time.Time
	ctx  context.Context // ends with the session
	end  context.CancelFunc
}

// sessions are those open, by the hash of their cookie's value: a copy of this memory
// opens no door.
type sessions struct {
	now func() time.Time

	mu sync.Mutex
	of map[[sha256.Size]byte]*session
}

func newSessions(now func() time.Time) *sessions {
	return &sessions{now: now, of: make(map[[sha256.Size]byte]*session)}
}

// open begins a session and returns its cookie's value.
func (s *sessions) open(from netip.Addr) string {
	raw, id := make([]byte, cookieBytes), make([]byte, 4)
	_, _ = rand.Read(raw) // never fails: crypto/rand ends the program instead
	_, _ = rand.Read(id)
	value := base64.RawURLEncoding.EncodeToString(raw)
	now := s.now()
	n := &session{Session: Session{hex.EncodeToString(id), from.String(), now}, used: now}
	n.ctx, n.end = context.WithCancel(context.Background())
	s.mu.Lock()
	defer s.mu.Unlock()
	s.sweep(now)
	s.of[sha256.Sum256([]byte(value))] = n
	return value
}

// sweep ends what is over, and the one unused longest where there are too many.
func (s *sessions) sweep(now time.Time) {
	var oldest [sha256.Size]byte
	for key, o := range s.of {
		if o.over(now) {
			s.drop(key)
		} else if s.of[oldest] == nil || o.used.Before(s.of[oldest].used) {
			oldest = key
		}
	}
	if len(s.of) >= mostAtOnce {
		s.drop(oldest)
	}
}

func (o *session) over(now time.Time) bool {
	return now.Sub(o.used) > idleFor || now.Sub(o.Since) > lastsFor
}

func (s *sessions) drop(key [sha256.Size]byte) {
	if o := s.of[key]; o != nil {
		o.end()
		delete(s.of, key)
	}
}

// find is the session of a request, and marks it used; nil for none.
func (s *sessions) find(r *http.Request) (found *session) {
	s.each(r, func(key [sha256.Size]byte, o *session, now time.Time) {
		if o.over(now) {
			s.drop(key)
		} else if found == nil {
			o.used, found = now, o
		}
	})
	return found
}

// leave ends the sessions of a request.
func (s *sessions) leave(r *http.Request) {
	s.each(r, func(key [sha256.Size]byte, _ *session, _ time.Time) { s.drop(key) })
}

// each calls f under the lock for every session that a request has a cookie of.
func (s *sessions) each(r *http.Request, f func([sha256.Size]byte, *session, time.Time)) {
	given := r.CookiesNamed(nameFor(r))
	now := s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, c := range given[:min(len(given), cookiesRead)] {
		key := sha256.Sum256([]byte(c.Value))
		if o := s.of[key]; o != nil {
			f(key, o, now)
		}
	}
}

// endAll ends every session.
func (s *sessions) endAll() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for key := range s.of {
		s.drop(key)
	}
}

func nameFor(r *http.Request) string {
	if r.TLS != nil {
		return cookieSecure
	}
	return cookieName
}

// cookie is one with our attributes; an empty value takes it away.
func cookie(r *http.Request, value string) *http.Cookie {
	age := int(lastsFor / time.Second)
	if value == "" {
		age = -1
	}
	return &http.Cookie{Name: nameFor(r), Value: value, Path: "/", MaxAge: age, HttpOnly: true, Secure: r.TLS != nil, SameSite: http.SameSiteStrictMode}
}
