package access

import (
	"errors"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// waits is how long a try must wait; 0 where it was looked at.
func (b *bench) waits(a ask, password string) time.Duration {
	b.t.Helper()
	_, err := b.Enter(a.request(), password)
	var w *Wait
	if errors.As(err, &w) {
		require.Positive(b.t, w.For)
		return w.For
	}
	if password == right {
		require.NoError(b.t, err)
	} else {
		require.ErrorIs(b.t, err, ErrWrong)
	}
	return 0
}

// TestTriesSlowDown lets one address try wrong passwords as often as it may for a day.
func TestTriesSlowDown(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	from, looked, last := away(ask{}), 0, time.Duration(0)
	for b.clock.now().Sub(noon) < 24*time.Hour {
		left := b.waits(from, wrong)
		if left == 0 {
			looked++
			continue
		}
		if looked < 20 {
			assert.GreaterOrEqual(t, left, last, "waits grow")
		}
		require.Equal(t, left, b.waits(from, right), "the right one is not looked at either")
		b.clock.move(left - time.Nanosecond)
		require.Equal(t, time.Nanosecond, b.waits(from, right))
		b.clock.move(time.Nanosecond)
		last = left
	}
	assert.Equal(t, longestFor, last)
	assert.Less(t, looked, 120)
	assert.Greater(t, looked, 90)
	t.Logf("one address: %d tries looked at in a day", looked)
}

// TestLockedOut shuts one address out: the right password from another works, and from the
// first once it has waited; then it begins anew.
func TestLockedOut(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	guesser, other := away(ask{}), away(ask{})
	other.peer = "192.168.7.21"
	for range freely {
		require.Zero(t, b.waits(guesser, wrong))
	}
	require.Equal(t, firstWait, b.waits(guesser, right))
	assert.Zero(t, b.waits(other, right))
	assert.Zero(t, b.waits(ask{}, right))
	b.clock.move(firstWait)
	assert.Zero(t, b.waits(guesser, right))
	for range freely {
		require.Zero(t, b.waits(guesser, wrong))
	}
	assert.Equal(t, firstWait, b.waits(guesser, right))
	b.clock.move(forgotten + time.Second)
	assert.Zero(t, b.waits(guesser, right))
}

// TestManyAddresses guesses from 20,000 addresses and networks in a day: no more are looked
// at than the common bound, memory stays bounded, and an address that has entered before is
// not shut out.
func TestManyAddresses(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	require.Zero(t, b.waits(away(ask{}), right))
	looked, all := 0, 20_000
	for i := range all {
		a := away(ask{peer: ""})
		if i%2 == 0 {
			a.peer = netip.AddrFrom4([4]byte{10, byte(i >> 16), byte(i >> 8), byte(i)}).String()
		} else {
			a.peer = netip.AddrFrom16([16]byte{0xfd, 0, 0, 0, 0, byte(i >> 16), byte(i >> 8), byte(i), 15: 1}).String()
		}
		if b.waits(a, wrong) == 0 {
			looked++
		}
		b.clock.move(24 * time.Hour / time.Duration(all))
	}
	assert.InDelta(t, int(burst+24*time.Hour/refilled), looked, 3)
	assert.LessOrEqual(t, len(b.tries.of), remembered)
	assert.Zero(t, b.waits(away(ask{}), right), "known before")
	t.Logf("%d tries from %d addresses in a day: %d looked at, %d addresses remembered", all, all, looked, len(b.tries.of))
}

// TestNeighbours counts a /64 as one, and an IPv4 address however it is written.
func TestNeighbours(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	for i := range freely {
		a := away(ask{})
		a.peer = netip.AddrFrom16([16]byte{0xfd, 7: 9, 14: byte(i), 15: 1}).String()
		require.Zero(t, b.waits(a, wrong))
	}
	for peer, left := range map[string]time.Duration{"fd00:0:0:9:ffff::1": firstWait, "fd00:0:0:a::1": 0, "192.168.7.21": 0} {
		a := away(ask{})
		a.peer = peer
		assert.Equal(t, left, b.waits(a, wrong), peer)
	}
	mapped := away(ask{})
	mapped.peer = "::ffff:192.168.7.21"
	for range freely - 1 {
		require.Zero(t, b.waits(mapped, wrong))
	}
	mapped.peer = "192.168.7.21"
	assert.Equal(t, firstWait, b.waits(mapped, wrong))
}

// TestClockPutBack begins a wait anew, and does not wait for the old time to come again.
func TestClockPutBack(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	for range freely {
		require.Zero(t, b.waits(away(ask{}), wrong))
	}
	b.clock.move(-365 * 24 * time.Hour)
	assert.Equal(t, firstWait, b.waits(away(ask{}), right))
	b.clock.move(firstWait)
	assert.Zero(t, b.waits(away(ask{}), right))
}

// TestFarClock lets the common bound fill for a century, and puts the clock back two.
func TestFarClock(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	b.clock.move(100 * 365 * 24 * time.Hour)
	for i := range burst + 1 {
		a := away(ask{})
		a.peer = netip.AddrFrom4([4]byte{10, 0, 0, byte(i)}).String()
		assert.Equal(t, i >= burst, b.waits(a, wrong) > 0, "%d", i)
	}
	b.clock.move(-200 * 365 * 24 * time.Hour) // and put back: refilled from then on
	a := away(ask{})
	a.peer = "10.0.1.1"
	assert.LessOrEqual(t, b.waits(a, wrong), refilled)
	b.clock.move(refilled)
	assert.Zero(t, b.waits(a, wrong))
}

// TestForgetting keeps addresses with a right password longest.
func TestForgetting(t *testing.T) {
	t.Parallel()
	clock := &hand{at: noon}
	tr := newTries(clock.now)
	at := func(i int) netip.Addr { return netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)}) }
	require.NoError(t, tr.begin(at(0)))
	tr.right(at(0))
	for i := 1; i < 2*remembered; i++ {
		clock.move(time.Minute)
		require.NoError(t, tr.begin(at(i)))
	}
	assert.Len(t, tr.of, remembered)
	assert.Contains(t, tr.of, neighbours(at(0)))
	assert.NotContains(t, tr.of, neighbours(at(1)))
	assert.Contains(t, tr.of, neighbours(at(2*remembered-1)))
	for i := range 2 * remembered { // all of them right: the oldest goes
		clock.move(time.Minute)
		tr.right(at(5000 + i))
	}
	assert.Len(t, tr.of, remembered)
	assert.NotContains(t, tr.of, neighbours(at(0)))
}
