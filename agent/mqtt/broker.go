package mqtt

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"strconv"
	"sync"
	"syscall"
	"time"

	server "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/hooks/auth"
	"github.com/mochi-mqtt/server/v2/listeners"
)

// Limits of the embedded broker. It serves a few readers on the same computer.
const (
	largestPacket = 64 << 10 // bytes
	mostClients   = 64
	portsTried    = 100
)

// Broker is a broker inside this program, for the demonstration and for growers
// who have none. It listens on 127.0.0.1 only and asks nobody for a name; what
// is retained lives in memory and is gone at the end. The feed gives it back at
// each start.
//
// Its library reads a topic's retained path without its lock while somebody subscribes with a
// wildcard (its issue 200; still so in v2.7.9). A read that meets the very first message of a
// topic could be torn.
type Broker struct {
	server *server.Server
	port   int
	taken  bool
	once   sync.Once
	closed error
}

// StartBroker starts a broker on the port, or on the next free one if that is
// taken; port 0 means any. It returns an error if none of a hundred is free.
func StartBroker(port int) (*Broker, error) {
	l, err := listen(port)
	if err != nil {
		return nil, fmt.Errorf("starting broker: %w", err)
	}
	b := &Broker{server: newServer(), port: l.Addr().(*net.TCPAddr).Port}
	b.taken = port != 0 && b.port != port
	if err := b.serve(l); err != nil {
		return nil, errors.Join(fmt.Errorf("starting broker: %w", err), l.Close())
	}
	return b, nil
}

func listen(port int) (net.Listener, error) {
	for p := port; ; p++ {
		l, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(p)))
		if err == nil || port == 0 || !errors.Is(err, syscall.EADDRINUSE) || p == port+portsTried || p == 65535 {
			return l, err
		}
	}
}

func newServer() *server.Server {
	c := server.NewDefaultServerCapabilities()
	c.MaximumPacketSize = largestPacket
	c.MaximumClients = mostClients
	return server.New(&server.Options{Capabilities: c, Logger: slog.New(slog.DiscardHandler)})
}

func (b *Broker) serve(l net.Listener) error {
	if err := b.server.AddHook(new(auth.AllowHook), nil); err != nil {
		return err
	}
	if err := b.server.AddListener(listeners.NewNet("loopback", l)); err != nil {
		return err
	}
	return b.server.Serve()
}

// Port is the port it listens on.
func (b *Broker) Port() int { return b.port }

// Taken says that the port asked for was taken and another is used.
func (b *Broker) Taken() bool { return b.taken }

// Address is host:port for clients.
func (b *Broker) Address() string { return net.JoinHostPort("127.0.0.1", strconv.Itoa(b.port)) }

// Close ends all connections and stops, within a second. It returns an error if
// that takes longer.
func (b *Broker) Close() error {
	b.once.Do(func() {
		done := make(chan error, 1)
		go func() { done <- b.server.Close() }()
		select {
		case b.closed = <-done:
		case <-time.After(time.Second):
			b.closed = errors.New("stopping broker: it did not end within a second")
		}
	})
	return b.closed
}
