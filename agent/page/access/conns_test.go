package access

import (
	"io"
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// comers are connections of invented addresses, as a listener.
type comers struct {
	addresses []string
	given     []*comerConn
}

type comerConn struct {
	net.Conn
	from   net.Addr
	closed int
}

func (c *comerConn) RemoteAddr() net.Addr { return c.from }
func (c *comerConn) Close() error         { c.closed++; return nil }

func (l *comers) Accept() (net.Conn, error) {
	i := len(l.given)
	if i == len(l.addresses) {
		return nil, io.EOF
	}
	c := &comerConn{from: net.TCPAddrFromAddrPort(netip.AddrPortFrom(netip.MustParseAddr(l.addresses[i]), 1234))}
	l.given = append(l.given, c)
	return c, nil
}
func (l *comers) Close() error   { return nil }
func (l *comers) Addr() net.Addr { return nil }

// let takes all that come and returns those let in.
func let(t *testing.T, l net.Listener) []net.Conn {
	t.Helper()
	var in []net.Conn
	for {
		c, err := l.Accept()
		if err != nil {
			require.ErrorIs(t, err, io.EOF)
			return in
		}
		in = append(in, c)
	}
}

// TestConnectionsOfEach bounds an IPv4 address, a /64 and all together; loopback only in all.
func TestConnectionsOfEach(t *testing.T) {
	t.Parallel()
	from := &comers{}
	for range 5 {
		from.addresses = append(from.addresses, "192.168.7.20", "::ffff:192.168.7.20", "fd00::1", "fd00::2", "192.168.7.21", "127.0.0.1")
	}
	l := bounded(from, 100, 3)
	in := let(t, l)
	assert.Len(t, in, 3+3+3+5)
	shut := 0
	for _, c := range from.given {
		shut += c.closed
	}
	assert.Equal(t, 30-14, shut, "hung up on at once")
	for range 3 { // twice closed is one place
		require.NoError(t, in[0].Close())
	}
	from.addresses = append(from.addresses, "192.168.7.20", "192.168.7.20")
	assert.Len(t, let(t, l), 1)
	all := bounded(&comers{addresses: []string{"127.0.0.1", "127.0.0.1", "10.0.0.1", "10.0.0.2", "::1"}}, 3, 2)
	in = let(t, all)
	assert.Len(t, in, 3)
	for _, c := range in {
		require.NoError(t, c.Close())
	}
	assert.Empty(t, all.(*door).of)
	assert.Zero(t, all.(*door).open)
}

// TestConnectionsFill opens more connections than there are places on a real port: those
// beyond are hung up on, and their places come free in time without anybody's help.
func TestConnectionsFill(t *testing.T) {
	t.Parallel()
	lim := short()
	lim.all = 10
	s := newServed(t, newBench(t, Options{}).Guard(marked), nil, lim)
	held := 0
	for range 30 {
		c := s.dial()
		require.NoError(t, c.SetReadDeadline(time.Now().Add(20*time.Millisecond)))
		_, err := c.Read(make([]byte, 1))
		if ne, ok := err.(net.Error); ok && ne.Timeout() {
			held++
		}
	}
	assert.GreaterOrEqual(t, held, 10)
	require.Eventually(t, func() bool {
		c := s.dial()
		_, _ = io.WriteString(c, "GET / HTTP/1.1\r\nHost: "+s.address+"\r\nConnection: close\r\n\r\n")
		text, _ := io.ReadAll(c)
		return len(text) > 12 && string(text[:12]) == "HTTP/1.1 200"
	}, 10*time.Second, 20*time.Millisecond)
}
