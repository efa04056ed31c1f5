package mqtt_test

import (
	"fmt"
	"time"

	"duskloop/agent/mqtt"
	"duskloop/agent/record"
	"duskloop/control"
)

func ExamplePack() {
	x := record.Reading{At: time.Date(2026, 1, 15, 17, 0, 0, 0, time.UTC), Loop: "north", Simulated: true,
		Outputs: control.Outputs{Pump: 1, Closed: true}, Trouble: map[string]string{"coil": "checksum wrong"}}
	x.Places[control.Tank] = record.Known(61.25, 0)
	x.Places[control.Coil] = record.Known(38.5, 25*time.Second)
	pack := mqtt.Pack(mqtt.DefaultPrefix, x)
	for i := range pack {
		line, err := pack[i : i+1].Marshal()
		fmt.Println(string(line), err)
	}
	// Output:
	// [{"bn":"duskloop/north/","bt":1768496400,"n":"simulated","vb":true}] <nil>
	// [{"n":"pump","u":"/","v":1}] <nil>
	// [{"n":"fans","u":"/","v":0}] <nil>
	// [{"n":"contactor-closed","vb":true}] <nil>
	// [{"n":"buzzer","vb":false}] <nil>
	// [{"n":"tank","u":"Cel","v":61.25}] <nil>
	// [{"n":"coil","u":"Cel","v":38.5,"t":-25}] <nil>
	// [{"n":"coil-trouble","vs":"checksum wrong"}] <nil>
}

func ExampleStartBroker() {
	b, err := mqtt.StartBroker(0) // any free port of 127.0.0.1
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.Port() > 0, b.Taken(), b.Close())
	// Output: true false <nil>
}
