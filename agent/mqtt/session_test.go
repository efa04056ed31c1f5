package mqtt

import (
	"context"
	"io"
	"net"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mute is a broker that accepts connections, reads everything and acknowledges
// nothing but the connection.
func mute(t *testing.T) (addr string, conns <-chan net.Conn) {
	t.Helper()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { l.Close() })
	accepted := make(chan net.Conn, 16)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			if _, err := c.Write([]byte{0x20, 0x02, 0x00, 0x00}); err != nil { // CONNACK, accepted
				return
			}
			go io.Copy(io.Discard, c) //nolint:errcheck // until it is closed
			accepted <- c
		}
	}()
	return l.Addr().String(), accepted
}

// TestTokensOfALostConnection shows what the client does with messages in
// flight when the connection is lost: all their tokens end, with an error.
func TestTokensOfALostConnection(t *testing.T) {
	t.Parallel()
	addr, conns := mute(t)
	f, err := New(newRecord(t), options(addr))
	require.NoError(t, err)
	s, err := f.connect()
	require.NoError(t, err)
	token, err := s.publish(message{"a", false, []byte("1")})
	require.NoError(t, err)
	second, err := s.publish(message{"a", false, []byte("2")})
	require.NoError(t, err)
	select {
	case <-token.token.Done():
		t.Fatal("nobody acknowledged it")
	default:
	}
	require.NoError(t, (<-conns).Close())
	<-s.lost
	require.Error(t, s.wait(token))
	require.Error(t, s.wait(second))
	for _, x := range []<-chan struct{}{token.token.Done(), second.token.Done()} {
		select {
		case <-x:
		case <-time.After(5 * time.Second):
			t.Fatal("a token of a lost connection stays open")
		}
	}
	require.Error(t, token.token.Error())
	require.Error(t, s.say(message{"a", false, []byte("3")}), "and what comes later fails at once")
}

// TestNotAcknowledged shows that a broker that takes and never acknowledges is
// given up and tried again, and that the cursor stays.
func TestNotAcknowledged(t *testing.T) {
	t.Parallel()
	addr, conns := mute(t)
	rec := newRecord(t)
	rec.Append(reading(1), alert(1))
	o := options(addr)
	o.Ack, o.Grace = 20*time.Millisecond, 10*time.Millisecond
	f := feed(t, rec, o)
	<-conns
	<-conns // tried again
	require.Eventually(t, f.Failing, 10*time.Second, time.Millisecond)
	require.ErrorContains(t, f.Err(), "not acknowledged within 20ms")
	assert.Equal(t, int64(2), f.cursors.left(rec))
}

// TestStopAtAMuteBroker shows that stopping keeps to its deadline.
func TestStopAtAMuteBroker(t *testing.T) {
	t.Parallel()
	addr, conns := mute(t)
	f := feed(t, newRecord(t), options(addr))
	<-conns
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	began := time.Now()
	_ = f.Stop(ctx) // nothing was left, so this is no error
	assert.Less(t, time.Since(began), 100*time.Millisecond+2*partIn+time.Second)
}

// TestNothingIsLeftBehind connects and loses the connection many times: no
// goroutine of ours or the client's stays. It is not parallel: it counts.
func TestNothingIsLeftBehind(t *testing.T) {
	addr, conns := mute(t)
	rec := newRecord(t)
	before := runtime.NumGoroutine()
	o := options(addr)
	o.Ack, o.Retry = time.Millisecond, time.Millisecond
	f := feed(t, rec, o)
	for range 30 {
		<-conns
	}
	require.NoError(t, f.Stop(t.Context()))
	// Eventually itself needs one more.
	require.Eventually(t, func() bool { return runtime.NumGoroutine() <= before+1 }, 5*time.Second, 5*time.Millisecond,
		"%d goroutines before", before)
}
