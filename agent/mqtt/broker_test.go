package mqtt

import (
	"net"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
)

func TestEmbeddedBroker(t *testing.T) {
	t.Parallel()
	b, err := StartBroker(0)
	require.NoError(t, err)
	host, _, err := net.SplitHostPort(b.Address())
	require.NoError(t, err)
	assert.Equal(t, "127.0.0.1", host)
	assert.False(t, b.Taken())
	rec := newRecord(t)
	rec.Append(reading(1), decision(1), alert(1))
	f := feed(t, rec, options(b.Address()))
	drained(t, f)
	got := late(t, b.Address())
	for _, topic := range retained {
		assert.Contains(t, got, topic)
	}
	require.NoError(t, f.Stop(t.Context()))
	began := time.Now()
	require.NoError(t, b.Close())
	assert.Less(t, time.Since(began), time.Second)
	require.NoError(t, b.Close(), "a second time does nothing")
	_, err = net.Dial("tcp", b.Address())
	assert.Error(t, err)
}

func TestEmbeddedBrokerTakesTheNextPort(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	taken := l.Addr().(*net.TCPAddr).Port
	b, err := StartBroker(taken)
	require.NoError(t, err)
	defer b.Close()
	assert.True(t, b.Taken())
	assert.Greater(t, b.Port(), taken)
}

// TestEmbeddedBrokerRefusesHugePackets shows the limit from outside: the
// connection that sends one is closed, others stay.
func TestEmbeddedBrokerRefusesHugePackets(t *testing.T) {
	t.Parallel()
	b, err := StartBroker(0)
	require.NoError(t, err)
	defer b.Close()
	c := mosquittotest.Subscribe(t, b.Address(), "small")
	huge, err := net.Dial("tcp", b.Address())
	require.NoError(t, err)
	defer huge.Close()
	// CONNECT of client "h", then a PUBLISH that announces 1 MiB (MQTT 3.1.1
	// §2.2.3: remaining length 0x80 0x80 0x40).
	_, err = huge.Write([]byte("\x10\x0d\x00\x04MQTT\x04\x02\x00\x3c\x00\x01h" + "\x30\x80\x80\x40\x00\x03big" + strings.Repeat("x", 1000)))
	require.NoError(t, err)
	require.NoError(t, huge.SetReadDeadline(time.Now().Add(5*time.Second)))
	buffer := make([]byte, 64)
	n, err := huge.Read(buffer)
	require.NoError(t, err)
	require.Equal(t, byte(0x20), buffer[0], "CONNACK, %d bytes", n)
	for err == nil {
		_, err = huge.Read(buffer)
	}
	assert.NotErrorIs(t, err, net.ErrClosed)
	timeout, ok := err.(net.Error)
	assert.False(t, ok && timeout.Timeout(), "the broker closed the connection")
	c.Publish("small", "still here", false)
	assert.Equal(t, "still here", c.AwaitOn("small", 1))
}
