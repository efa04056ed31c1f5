package access

import (
	"bytes"
	"log/slog"
	"net"
	"net/netip"
	"sync"
)

// bounded closes at once what is beyond the bounds on connections: those waiting behind a
// stranger's would otherwise wait for the stranger. Loopback counts in all alone: 50 viewers
// may sit behind one proxy.
func bounded(l net.Listener, all, each int) net.Listener {
	return &door{Listener: l, all: all, each: each, of: make(map[netip.Prefix]int)}
}

type door struct {
	net.Listener
	all, each int

	mu   sync.Mutex
	open int
	of   map[netip.Prefix]int
}

func (d *door) Accept() (net.Conn, error) {
	for {
		c, err := d.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from := comer(c)
		if d.enter(from) {
			return &guest{Conn: c, leave: func() { d.leave(neighbours(from)) }}, nil
		}
		_ = c.Close()
	}
}

func (d *door) enter(from netip.Addr) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	net := neighbours(from)
	if d.open >= d.all || (d.of[net] >= d.each && !from.IsLoopback()) {
		return false
	}
	d.open++
	d.of[net]++
	return true
}

func (d *door) leave(net netip.Prefix) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.open--
	if d.of[net]--; d.of[net] == 0 {
		delete(d.of, net)
	}
}

func comer(c net.Conn) netip.Addr {
	a, ok := c.RemoteAddr().(*net.TCPAddr)
	if !ok {
		return netip.Addr{}
	}
	return a.AddrPort().Addr().Unmap().WithZone("")
}

// guest is a connection that gives its place back once.
type guest struct {
	net.Conn
	once  sync.Once
	leave func()
}

func (g *guest) Close() error {
	g.once.Do(g.leave)
	return g.Conn.Close()
}

// faultsOnly passes our own faults to the log. What else net/http says is of strangers'
// handshakes and requests, and would fill a card.
type faultsOnly struct{ to *slog.Logger }

func (f faultsOnly) Write(line []byte) (int, error) {
	if f.to != nil && bytes.HasPrefix(line, []byte("http: panic serving")) {
		f.to.Error("the page failed", "fault", string(line))
	}
	return len(line), nil
}
