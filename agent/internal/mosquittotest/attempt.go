package mosquittotest

import (
	"testing"

	paho "github.com/eclipse/paho.mqtt.golang"
)

// Attempt sends one message, over a connection of its own, that the broker may refuse,
// and returns when the broker has dealt with it: acknowledged it, whatever became of it,
// or hung up, as Mosquitto 2.0.11 does.
func Attempt(t testing.TB, addr string, login Login, topic, payload string) {
	t.Helper()
	lost := make(chan struct{})
	client := paho.NewClient(paho.NewClientOptions().
		AddBroker("tcp://" + addr).
		SetUsername(login.User).SetPassword(login.Password).
		SetProtocolVersion(4).
		SetAutoReconnect(false).
		SetConnectionLostHandler(func(paho.Client, error) { close(lost) }))
	if token := client.Connect(); !token.WaitTimeout(awaitIn) || token.Error() != nil {
		t.Fatalf("connecting to attempt a message: %v", token.Error())
	}
	defer client.Disconnect(0)
	select {
	case <-client.Publish(topic, 1, false, payload).Done():
	case <-lost:
	}
}
