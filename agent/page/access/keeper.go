package access

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"sync"
	"time"
)

// What a grower may have done wrong, or must wait for. None of them holds a secret.
var (
	ErrDamaged = errors.New("the file of the password is damaged")
	ErrRule    = fmt.Errorf("a password has %d to %d letters", shortest, longest)
	ErrWrong   = errors.New("that is not the password")
	ErrUnset   = errors.New("no password has been set yet; the link that the daemon printed sets it")
	ErrLink    = errors.New("this link was used, is older than a day, or another one took its place")
	ErrBusy    = errors.New("other passwords are being looked at; try again in a moment")
	ErrSession = errors.New("this needs the password first")
)

// Reading is who may read without the password.
type Reading int

// Near is who sits at the machine, Closed nobody, Everybody whoever reaches the page.
const (
	Near Reading = iota
	Closed
	Everybody
)

// Options are how a door is kept.
type Options struct {
	Folder  string           // the state folder; it must exist
	Now     func() time.Time // default time.Now
	Reading Reading

	// Names are hosts, names or addresses without a port, by which the grower opens the
	// page, beside loopback on the machine itself and the address that was dialled.
	Names []string

	// Free are requests that need neither password nor session, as "GET /enter" (which is
	// HEAD too) or "POST /enter": the page that asks for the password and what it needs.
	// A path is taken as it is written: nothing below it, no other spelling.
	Free []string

	// Reports is the path where browsers post what the content security policy stopped;
	// empty for none. Such a post needs no session.
	Reports string

	// Refused answers a request that may not pass: 401 (enter first), 403, 405, 413, 415
	// or 421 (another host). Headers are set already. Default: a line of text.
	Refused func(w http.ResponseWriter, r *http.Request, code int)
}

// Keeper keeps the door. Its methods may be called from any goroutine. No password is
// ever looked at under its lock.
type Keeper struct {
	opts     Options
	path     string          // of the password's file
	names    map[string]bool // of Options.Names, lower case
	free     map[string]bool // of Options.Free
	policy   string          // content security policy
	tries    *tries
	hashings chan struct{} // one slot for each hashing at a time
	waiting  chan struct{} // one slot for each that waits or hashes
	sessions *sessions

	mu   sync.Mutex
	hash *hashed   // nil while no password is set
	link string    // the token that sets the password; empty for none
	ends time.Time // when a Reset's link ends; zero for the first password's
}

// Open reads the password's file. Where there is none it makes a link; see Link. A file
// that cannot be used is ErrDamaged and never taken for no password.
func Open(o Options) (*Keeper, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Refused == nil {
		o.Refused = func(w http.ResponseWriter, _ *http.Request, code int) { http.Error(w, http.StatusText(code), code) }
	}
	k := &Keeper{
		opts: o, path: filepath.Join(o.Folder, fileName), policy: policy(o.Reports),
		tries: newTries(o.Now), sessions: newSessions(o.Now),
		hashings: make(chan struct{}, hashingsAtOnce), waiting: make(chan struct{}, waitingAtOnce),
	}
	var err error
	if k.names, err = hostNames(o.Names); err != nil {
		return nil, err
	}
	if k.free, err = freeRequests(o.Free); err != nil {
		return nil, err
	}
	if k.hash, err = readHash(k.path); err != nil {
		return nil, err
	}
	if k.hash == nil {
		k.link = newToken()
	}
	return k, nil
}

// Format prints nothing of what a Keeper holds, whatever the verb.
func (k *Keeper) Format(s fmt.State, _ rune) { _, _ = io.WriteString(s, "access.Keeper") }
