package access

import (
	"fmt"
	"net/netip"
	"sync"
	"time"
)

// How often passwords may be tried. Chosen: somebody who mistypes feels nothing for a few
// times; a guesser from one address gets a hundred guesses a day, one from many addresses
// some nine thousand, and all of them together never more. Both memories are bounded.
const (
	freely     = 4 // wrong tries in a row before the first wait
	firstWait  = 2 * time.Second
	longestFor = 15 * time.Minute // a wait doubles up to this
	forgotten  = 12 * time.Hour   // after so long without a try an address begins anew
	remembered = 1024             // addresses

	burst    = 20               // tries from addresses without a right one, at once
	refilled = 10 * time.Second // for each of them
)

// Wait says that a try came too soon after others. The password was not looked at.
type Wait struct {
	For time.Duration // until the next try may be made
}

func (w *Wait) Error() string {
	return fmt.Sprintf("too many tries; wait %v", w.For.Round(time.Second))
}

// address is what is known of one address.
type address struct {
	wrong int       // in a row
	last  time.Time // try
	next  time.Time // no try before
	known bool      // a right password came from it
}

// tries bounds how often passwords are tried, for each address and altogether. An address
// from which the right password came before stays out of the common bound, so strangers
// cannot shut out the grower's own telephone.
type tries struct {
	now func() time.Time

	mu    sync.Mutex
	of    map[netip.Prefix]*address
	full  time.Time // when all common tries will be there again
	asked time.Time // for one of them
}

func newTries(now func() time.Time) *tries {
	return &tries{now: now, of: make(map[netip.Prefix]*address), full: now()}
}

// begin asks for a try and counts it as a wrong one until right is called, so tries made
// at the same time cannot slip through. *Wait where it must wait.
func (t *tries) begin(from netip.Addr) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	now, net := t.now(), neighbours(from)
	a := t.of[net]
	if left := a.left(now); left > 0 {
		return &Wait{left}
	}
	if a == nil || !a.known {
		if left := t.take(now); left > 0 {
			return &Wait{left}
		}
	}
	if a == nil {
		a = &address{}
		t.remember(net, a)
	}
	a.wrong++
	a.last, a.next = now, now.Add(wait(a.wrong))
	return nil
}

// left is how long an address must still wait. A clock that was put back begins its wait
// anew.
func (a *address) left(now time.Time) time.Duration {
	if a == nil {
		return 0
	}
	if now.Sub(a.last) > forgotten {
		a.wrong = 0
	}
	if a.last.After(now) {
		a.last, a.next = now, now.Add(wait(a.wrong))
	}
	return a.next.Sub(now)
}

// wait is how long an address waits after so many wrong tries in a row.
func wait(wrong int) time.Duration {
	if wrong < freely {
		return 0
	}
	return min(longestFor, firstWait<<min(wrong-freely, 20))
}

// take takes one of the common tries, or says how long there will be none.
func (t *tries) take(now time.Time) time.Duration {
	if now.Before(t.asked) { // the clock was put back
		t.full = t.full.Add(now.Sub(t.asked))
	}
	t.asked = now
	spent := max(0, t.full.Sub(now))
	if left := spent - (burst-1)*refilled; left > 0 {
		t.full = now.Add(spent)
		return left
	}
	t.full = now.Add(spent + refilled)
	return 0
}

// right says that the try was the password.
func (t *tries) right(from netip.Addr) {
	t.mu.Lock()
	defer t.mu.Unlock()
	net := neighbours(from)
	a := t.of[net]
	if a == nil { // forgotten meanwhile, for others
		a = &address{}
		t.remember(net, a)
	}
	*a = address{last: t.now(), known: true}
}

// void takes a try back that was never looked at.
func (t *tries) void(from netip.Addr) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if a := t.of[neighbours(from)]; a != nil && a.wrong > 0 {
		a.wrong--
		a.next = a.last.Add(wait(a.wrong))
	}
}

// remember adds an address; where there are too many the one is forgotten that tried
// longest ago, of those without a right password first.
func (t *tries) remember(net netip.Prefix, a *address) {
	if len(t.of) >= remembered {
		var out netip.Prefix
		for n, b := range t.of {
			o := t.of[out]
			if o == nil || (o.known && !b.known) || (o.known == b.known && b.last.Before(o.last)) {
				out = n
			}
		}
		delete(t.of, out)
	}
	t.of[net] = a
}

// neighbours is what counts as one address: an IPv4 address, or the /64 that one IPv6
// subscriber has at least (RFC 6177; RFC 4291, section 2.5.4).
func neighbours(a netip.Addr) netip.Prefix {
	bits := 32
	if a.Is6() {
		bits = 64
	}
	p, _ := a.Prefix(bits) // the zero one for no address
	return p
}
