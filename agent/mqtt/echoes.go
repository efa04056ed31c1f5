package mqtt

import (
	"fmt"
	"sync"

	paho "github.com/eclipse/paho.mqtt.golang"
)

// echoes are the messages that the daemon wants to hear back. MQTT 3.1.1 has no
// word for "not allowed": a broker that may not pass a message on acknowledges it
// all the same, or hangs up (§3.3.5, MQTT-3.3.5-2). So what must not be lost, alerts,
// and what tells early, presence and heartbeat, count as sent only when the broker has
// passed them on.
type echoes struct {
	mu     sync.Mutex
	topics map[string]bool          // the run goroutine's own
	due    map[string]chan struct{} // by topic and payload
}

// expect is closed when the message comes back; nil for a topic not listened to.
func (e *echoes) expect(m message) <-chan struct{} {
	e.mu.Lock()
	defer e.mu.Unlock()
	if !e.topics[m.topic] {
		return nil
	}
	key := m.topic + "\x00" + string(m.payload)
	back, twice := e.due[key]
	if !twice {
		back = make(chan struct{})
		e.due[key] = back
	}
	return back
}

// hear takes a message as it comes back. A retained one is from before.
func (e *echoes) hear(_ paho.Client, m paho.Message) {
	if m.Retained() {
		return
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	key := m.Topic() + "\x00" + string(m.Payload())
	if back, ok := e.due[key]; ok {
		close(back)
		delete(e.due, key)
	}
}

// listen begins to hear what is said on the topics.
func (s *session) listen(topics ...string) error {
	s.echoes.topics, s.echoes.due = make(map[string]bool), make(map[string]chan struct{})
	for _, topic := range topics {
		if err := s.wait(receipt{token: s.client.Subscribe(topic, qos, s.echoes.hear)}); err != nil {
			return fmt.Errorf("listening to what the broker passes on: %w", err)
		}
		s.echoes.topics[topic] = true
	}
	return nil
}

// watched are the topics whose messages count only when they were passed on.
func (f *Feed) watched() []string {
	all := []string{f.topics.daemon(topicPresence), f.topics.daemon(topicHeartbeat)}
	for _, l := range f.lines {
		all = append(all, f.topics.loop(l.Name, topicAlert))
	}
	return all
}
