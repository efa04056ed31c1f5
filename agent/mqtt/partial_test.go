package mqtt

import (
	"io"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/eclipse/paho.mqtt.golang/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fickle is a broker that acknowledges a number of messages on its first
// connection, then drops it, and from then on acknowledges everything. It tells
// what was published on its second connection.
func fickle(t *testing.T, first int) (addr string, second <-chan *packets.PublishPacket) {
	t.Helper()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { l.Close() })
	published := make(chan *packets.PublishPacket, 1000)
	go func() {
		serveFickle(l, first, true, func(*packets.PublishPacket) {})
		serveFickle(l, 1<<30, true, func(p *packets.PublishPacket) { published <- p })
	}()
	return l.Addr().String(), published
}

// serveFickle serves one connection to its end; false once nobody can call any more.
func serveFickle(l net.Listener, acknowledged int, passes bool, tell func(*packets.PublishPacket)) bool {
	c, err := l.Accept()
	if err != nil {
		return false
	}
	defer c.Close()
	listened := make(map[string]bool)
	for {
		p, err := packets.ReadPacket(c)
		if err != nil {
			return true
		}
		var answer packets.ControlPacket
		switch p := p.(type) {
		case *packets.ConnectPacket:
			answer = packets.NewControlPacket(packets.Connack)
		case *packets.SubscribePacket:
			a := packets.NewControlPacket(packets.Suback).(*packets.SubackPacket)
			a.MessageID, a.ReturnCodes = p.MessageID, []byte{1}
			answer, listened[p.Topics[0]] = a, true
		case *packets.PublishPacket:
			if acknowledged == 0 {
				hangUp(c)
				return true
			}
			acknowledged--
			tell(p)
			a := packets.NewControlPacket(packets.Puback).(*packets.PubackPacket)
			a.MessageID = p.MessageID
			answer = a
			if passes && listened[p.TopicName] && passOn(c, p) != nil {
				return true
			}
		default:
			continue
		}
		if answer.Write(c) != nil {
			return true
		}
	}
}

// hangUp ends a connection so that all that was written arrives: one closed with
// something unread is reset, and the other side may lose acknowledgements it had not
// read (RFC 1122 4.2.2.13).
func hangUp(c net.Conn) {
	_ = c.(*net.TCPConn).CloseWrite() // the other side may have gone
	_, _ = io.Copy(io.Discard, c)
}

// passOn sends a message back to the one who wrote it, who listens.
func passOn(c net.Conn, p *packets.PublishPacket) error {
	back := packets.NewControlPacket(packets.Publish).(*packets.PublishPacket)
	back.TopicName, back.Payload = p.TopicName, p.Payload
	return back.Write(c)
}

// TestPartlyAcknowledged breaks the connection amid a window. The next one
// begins with the newest that was acknowledged, neither an older one (a retained
// decision would stay wrong until the next) nor one that overtook those lost
// with it, and goes on with the first that was not.
func TestPartlyAcknowledged(t *testing.T) {
	t.Parallel()
	rec := newRecord(t)
	rec.Append(nil, decision(0))
	rec.Append(nil, decision(1), alert(2), decision(3))
	for i := range 10 {
		rec.Append(reading(10 + i))
	}
	// Presence, the empty list of alerts, decisions 0 and 1; the alert is lost.
	addr, second := fickle(t, 4)
	f := feed(t, rec, options(addr))
	drained(t, f)

	want := []string{
		"presence online", "bench/decision 17:00:10", "bench/alerts 17:00:00",
		"bench/alert 17:00:20", "bench/alerts 17:00:20", "bench/decision 17:00:30", "bench/settings 17:00:00",
		"bench/readings",
	}
	for i, w := range want {
		topic, part, _ := strings.Cut(w, " ")
		select {
		case p := <-second:
			assert.Equal(t, "duskloop/"+topic, p.TopicName, "message %d", i)
			assert.Contains(t, string(p.Payload), part, "message %d", i)
		case <-time.After(10 * time.Second):
			t.Fatalf("message %d did not come: %s", i, w)
		}
	}
}
