package mosquittotest

import (
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
)

// awaitIn is how long Await waits; much longer than anything should take.
const awaitIn = 30 * time.Second

// Message is one message as a subscriber got it.
type Message struct {
	Topic    string
	Payload  string
	Retained bool // kept by the broker from before the subscription
}

// Collector is a subscriber that keeps what it gets. It stays subscribed over
// restarts of the broker, which keeps messages for it meanwhile.
type Collector struct {
	t      testing.TB
	client paho.Client

	mu       sync.Mutex
	messages []Message
	news     chan struct{}
}

var collectors atomic.Int64

// Login are the user name and password of a Collector.
type Login struct{ User, Password string }

// Subscribe connects to the broker, subscribes to a topic filter with QoS 1, and
// disconnects at the end of the test.
func Subscribe(t testing.TB, addr, filter string, login ...Login) *Collector {
	t.Helper()
	c := &Collector{t: t, news: make(chan struct{}, 1)}
	o := paho.NewClientOptions().
		AddBroker("tcp://" + addr).
		SetClientID(fmt.Sprintf("collector-%d", collectors.Add(1))).
		SetProtocolVersion(4).
		SetCleanSession(false).
		SetAutoReconnect(true).
		SetMaxReconnectInterval(100 * time.Millisecond).
		SetOrderMatters(true).
		SetDefaultPublishHandler(func(_ paho.Client, m paho.Message) { c.add(m) })
	for _, l := range login {
		o.SetUsername(l.User).SetPassword(l.Password)
	}
	c.client = paho.NewClient(o)
	c.must(c.client.Connect(), "connecting")
	t.Cleanup(func() { c.client.Disconnect(100) })
	c.must(c.client.Subscribe(filter, 1, nil), "subscribing")
	return c
}

func (c *Collector) must(token paho.Token, what string) {
	c.t.Helper()
	if !token.WaitTimeout(awaitIn) || token.Error() != nil {
		c.t.Fatalf("collector %s: %v", what, token.Error())
	}
}

// Publish sends a message with QoS 1 and waits until the broker has it.
func (c *Collector) Publish(topic, payload string, retain bool) {
	c.t.Helper()
	c.must(c.client.Publish(topic, 1, retain, payload), "publishing")
}

func (c *Collector) add(m paho.Message) {
	c.mu.Lock()
	c.messages = append(c.messages, Message{m.Topic(), string(m.Payload()), m.Retained()})
	c.mu.Unlock()
	select {
	case c.news <- struct{}{}:
	default:
	}
}

// Messages is what has come so far, in the order it came.
func (c *Collector) Messages() []Message {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.messages)
}

// On is what has come so far on one topic.
func (c *Collector) On(topic string) []string {
	var list []string
	for _, m := range c.Messages() {
		if m.Topic == topic {
			list = append(list, m.Payload)
		}
	}
	return list
}

// Await waits until enough holds of what has come, or fails the test.
func (c *Collector) Await(what string, enough func([]Message) bool) {
	c.t.Helper()
	limit := time.After(awaitIn)
	for {
		messages := c.Messages()
		if enough(messages) {
			return
		}
		select {
		case <-c.news:
		case <-limit:
			last := messages[max(0, len(messages)-5):]
			c.t.Fatalf("did not come: %s; %d messages came, the last: %v", what, len(messages), last)
		}
	}
}

// AwaitOn waits for the n-th message on a topic and returns it.
func (c *Collector) AwaitOn(topic string, n int) string {
	c.t.Helper()
	var got []string
	c.Await(fmt.Sprintf("message %d on %s", n, topic), func([]Message) bool {
		got = c.On(topic)
		return len(got) >= n
	})
	return got[n-1]
}
