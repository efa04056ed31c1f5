package mqtt

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/url"
	"sync/atomic"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"

	"duskloop/agent/wire"
)

const (
	qos       = 1
	keepAlive = 20 * time.Second // the broker gives up after 1.5 times this
	connectIn = 10 * time.Second
	partIn    = 500 * time.Millisecond // for the last word, after the deadline if need be
)

// message is one document for one topic.
type message struct {
	topic   string
	retain  bool
	payload []byte
}

// receipt stands for a message handed over.
type receipt struct {
	token paho.Token
	back  <-chan struct{} // closed when the broker passed it on; nil where that is not asked
}

// session is one connection.
type session struct {
	client paho.Client
	conn   atomic.Pointer[net.Conn]
	lost   chan struct{} // closed when the connection is
	echoes echoes
	parted bool // offline was said
	ctx    context.Context
	tls    *tls.Config
	ack    time.Duration
	count  func()
}

// connect opens a connection, with offline as last will.
func (f *Feed) connect() (*session, error) {
	s := &session{lost: make(chan struct{}), ctx: f.deadline, tls: f.opts.TLS, ack: f.opts.Ack, count: func() { f.delivered.Add(1) }}
	o := paho.NewClientOptions().
		AddBroker("tcp://"+f.opts.Address).
		SetClientID(f.opts.ClientID).
		SetUsername(f.opts.User).
		SetPassword(f.opts.Password).
		SetProtocolVersion(4). // MQTT 3.1.1; no silent retry with 3.1
		SetCleanSession(true).
		SetAutoReconnect(false).
		SetConnectRetry(false).
		SetKeepAlive(keepAlive).
		SetPingTimeout(keepAlive/2).
		SetWriteTimeout(connectIn).
		SetConnectTimeout(connectIn).
		SetCustomOpenConnectionFn(s.dial).
		SetBinaryWill(f.topics.daemon(topicPresence), f.presence("offline"), qos, true).
		SetConnectionLostHandler(func(paho.Client, error) { close(s.lost) })
	s.client = paho.NewClient(o)
	t := s.client.Connect()
	select {
	case <-t.Done():
	case <-f.stopping:
		s.close()
		go func() { // it may be made all the same
			<-t.Done()
			s.close()
		}()
		return nil, errors.New("stopped while connecting")
	}
	if err := t.Error(); err != nil {
		return nil, fmt.Errorf("connecting to broker %s: %w", f.opts.Address, err)
	}
	return s, nil
}

// dial opens the connection and keeps it at hand.
func (s *session) dial(to *url.URL, _ paho.ClientOptions) (net.Conn, error) {
	d := net.Dialer{Timeout: connectIn}
	c, err := d.DialContext(s.ctx, "tcp", to.Host)
	if err != nil {
		return nil, err
	}
	s.conn.Store(&c)
	if s.tls == nil {
		return c, nil
	}
	secure, err := s.secure(c, to.Hostname())
	if err != nil {
		return nil, errors.Join(err, c.Close())
	}
	return secure, nil
}

// secure shakes hands over an open connection. The broker's name must be the one that
// was called.
func (s *session) secure(c net.Conn, name string) (net.Conn, error) {
	ctx, cancel := context.WithTimeout(s.ctx, connectIn)
	defer cancel()
	with := s.tls.Clone()
	with.ServerName = name
	secure := tls.Client(c, with)
	if err := secure.HandshakeContext(ctx); err != nil {
		return nil, fmt.Errorf("encrypting: %w", err)
	}
	return secure, nil
}

// close ends the connection: in good order once offline was said, otherwise by
// dropping it, so that the broker sends the last will. It is dropped by ending
// its reads: the client takes a connection closed under it for its own doing
// and would keep its goroutines until the next ping.
func (s *session) close() {
	if s.parted {
		s.client.Disconnect(250)
		return
	}
	if c := s.conn.Load(); c != nil {
		_ = (*c).SetReadDeadline(time.Unix(1, 0)) // fails only on one that has ended
	}
}

// publish hands a message to the client; wait waits for its receipt. The client
// may hold on to it for a while when the connection breaks at that moment, so
// it is not waited for longer than the connection lasts.
func (s *session) publish(m message) (receipt, error) {
	back := s.echoes.expect(m)
	handed := make(chan paho.Token, 1)
	go func() { handed <- s.client.Publish(m.topic, qos, m.retain, m.payload) }()
	select {
	case t := <-handed:
		return receipt{t, back}, nil
	case <-s.lost:
		return receipt{}, errLost
	case <-s.ctx.Done():
		return receipt{}, errStopped
	}
}

var (
	errLost    = errors.New("sending to broker: connection lost")
	errStopped = errors.New("sending to broker: stopped")
	errSilent  = errors.New("the broker takes messages and does not pass them on: " + mayWrite)
	errHangsUp = errors.New("the broker hangs up at the first message: " + mayWrite)
)

const mayWrite = "its access list must let this user write and read the topics (see deploy/mosquitto-acl)"

// wait returns when the broker has acknowledged, and passed on what is watched
// for, or with an error when the connection is lost or the time is over.
func (s *session) wait(r receipt) error {
	timer := time.NewTimer(s.ack)
	defer timer.Stop()
	if err := s.until(r.token.Done(), timer.C); errors.Is(err, errTime) {
		return fmt.Errorf("sending to broker: not acknowledged within %v", s.ack)
	} else if err != nil {
		return err
	}
	if err := r.token.Error(); err != nil {
		return fmt.Errorf("sending to broker: %w", err)
	}
	if r.back != nil {
		if err := s.until(r.back, timer.C); errors.Is(err, errTime) {
			return errSilent
		} else if err != nil {
			return err
		}
	}
	s.count()
	return nil
}

var errTime = errors.New("time is over")

// until waits for something to be done.
func (s *session) until(done <-chan struct{}, over <-chan time.Time) error {
	select {
	case <-done:
		return nil
	case <-s.lost: // it may have been done just before
	case <-s.ctx.Done():
		return errStopped
	case <-over:
		return errTime
	}
	select {
	case <-done:
		return nil
	default:
		return errLost
	}
}

// say sends one message and waits.
func (s *session) say(m message) error {
	r, err := s.publish(m)
	if err != nil {
		return err
	}
	return s.wait(r)
}

// subscribe asks for the commands of each loop, and for forecasts where they are of use.
func (f *Feed) subscribe(s *session) error {
	for _, line := range f.lines {
		err := f.ask(s, line.Name, topicCommand, func(m paho.Message) { f.intake.take(line, m.Payload(), m.Retained()) })
		if err == nil && line.Foretell != nil {
			err = f.ask(s, line.Name, topicForecast, func(m paho.Message) { f.intake.hear(line, m.Payload()) })
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// ask subscribes to a loop's topic.
func (f *Feed) ask(s *session, loop, topic string, take func(paho.Message)) error {
	t := s.client.Subscribe(f.topics.loop(loop, topic), qos, func(_ paho.Client, m paho.Message) { take(m) })
	if err := s.wait(receipt{token: t}); err != nil {
		return fmt.Errorf("subscribing to %s: %w", topic, err)
	}
	return nil
}

func (f *Feed) presence(word string) []byte {
	return encode(wire.Presence{Presence: word, Time: f.now(), Simulated: f.opts.Simulated})
}
