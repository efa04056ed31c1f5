package access

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"net/http"
	"net/netip"
	"strings"
	"time"
)

// Hashing takes memoryKiB each, and one core. One at a time leaves the others to the loop;
// who waits behind more than a few is told to come again. Chosen.
const (
	hashingsAtOnce = 1
	waitingAtOnce  = 4
)

// newToken is 130 random bits in letters that can be typed (crypto/rand.Text).
func newToken() string { return rand.Text() }

// Link is the token that sets the password by Claim, for the daemon to print in a link;
// empty where a password is set and no Reset was asked for.
func (k *Keeper) Link() string {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.link
}

// Reset makes a new token, for the grower at the machine who has forgotten the password.
// Until it is used the old password goes on working; the token ends after ResetLasts.
func (k *Keeper) Reset() string {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.link, k.ends = newToken(), k.opts.Now().Add(ResetLasts)
	return k.link
}

// ResetLasts is for how long a link from Reset sets the password: one that was copied into a
// message and forgotten must not open the page a year later. Chosen.
const ResetLasts = 24 * time.Hour

// opens says whether a token sets the password now. mu must be held.
func (k *Keeper) opens(token string) bool {
	return sameToken(token, k.link) && (k.ends.IsZero() || k.opts.Now().Before(k.ends))
}

// Claim sets the password by a link's token, which is used up by it, ends every session
// and begins one. ErrRule, ErrLink, ErrBusy, or what kept the hash from being written; then
// the token stays good.
func (k *Keeper) Claim(r *http.Request, token, password string) (*http.Cookie, error) {
	if !k.linked(token) {
		return nil, ErrLink
	}
	if !fits(password) {
		return nil, ErrRule
	}
	h, err := k.hashing(r.Context(), func() *hashed { return newHash(password) })
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if !k.opens(token) { // used or replaced meanwhile
		return nil, ErrLink
	}
	return k.set(r, h)
}

// Change sets another password for who has a session and knows the old one; it ends every
// other session. ErrSession, ErrRule, or as Enter.
func (k *Keeper) Change(r *http.Request, old, password string) (*http.Cookie, error) {
	if _, ok := k.Who(r); !ok {
		return nil, ErrSession
	}
	if !fits(password) {
		return nil, ErrRule
	}
	was, err := k.check(r, old)
	if err != nil {
		return nil, err
	}
	h, err := k.hashing(r.Context(), func() *hashed { return newHash(password) })
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.hash != was {
		return nil, ErrWrong
	}
	return k.set(r, h)
}

// set keeps a new hash and begins its first session. The lock is held: two that set at
// once come one after the other, on the disk too.
func (k *Keeper) set(r *http.Request, h *hashed) (*http.Cookie, error) {
	if err := h.keep(k.path); err != nil {
		return nil, err
	}
	k.hash, k.link, k.ends = h, "", time.Time{}
	k.sessions.endAll()
	return cookie(r, k.sessions.open(peer(r))), nil
}

// Enter begins a session for who knows the password; the cookie is to be sent. ErrWrong,
// ErrUnset, ErrBusy or *Wait. It takes as long as a hashing, and waits for others' while
// r's context lasts.
func (k *Keeper) Enter(r *http.Request, password string) (*http.Cookie, error) {
	was, err := k.check(r, password)
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.hash != was { // another password was set meanwhile
		return nil, ErrWrong
	}
	k.sessions.leave(r) // entering anew replaces
	return cookie(r, k.sessions.open(peer(r))), nil
}

// check looks at a password, within the bound on tries, and returns the hash it was held
// against.
func (k *Keeper) check(r *http.Request, password string) (*hashed, error) {
	k.mu.Lock()
	h := k.hash
	k.mu.Unlock()
	if h == nil {
		return nil, ErrUnset
	}
	from := peer(r)
	if err := k.tries.begin(from); err != nil {
		return nil, err
	}
	if !fits(password) { // none such can have been set
		return nil, ErrWrong
	}
	right := false
	if _, err := k.hashing(r.Context(), func() *hashed { right = h.is(password); return h }); err != nil {
		k.tries.void(from)
		return nil, err
	}
	if !right {
		return nil, ErrWrong
	}
	k.tries.right(from)
	return h, nil
}

// hashing runs f, which hashes, when its turn has come.
func (k *Keeper) hashing(ctx context.Context, f func() *hashed) (*hashed, error) {
	select {
	case k.waiting <- struct{}{}:
		defer func() { <-k.waiting }()
	default:
		return nil, ErrBusy
	}
	select {
	case k.hashings <- struct{}{}:
		defer func() { <-k.hashings }()
		return f(), nil
	case <-ctx.Done():
		return nil, ErrBusy
	}
}

// Leave ends the session of a request. The cookie is to be sent: it takes the old one away.
func (k *Keeper) Leave(r *http.Request) *http.Cookie {
	k.sessions.leave(r)
	return cookie(r, "")
}

// Who is the session of a request.
func (k *Keeper) Who(r *http.Request) (Session, bool) {
	s := k.sessions.find(r)
	if s == nil {
		return Session{}, false
	}
	return s.Session, true
}

func (k *Keeper) linked(token string) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.opens(token)
}

// sameToken compares in constant time; a token may be typed in small letters.
func sameToken(given, link string) bool {
	g, l := sha256.Sum256([]byte(strings.ToUpper(strings.TrimSpace(given)))), sha256.Sum256([]byte(link))
	return link != "" && subtle.ConstantTimeCompare(g[:], l[:]) == 1
}

// peer is who a request comes from; the zero Addr where that is not known.
func peer(r *http.Request) netip.Addr {
	p, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return p.Addr().Unmap().WithZone("")
}
