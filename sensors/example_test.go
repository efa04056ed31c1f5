package sensors_test

import (
	"fmt"
	"time"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// A tank at 20 °C whose probe loses power for a moment and comes back with the
// value it holds at power-on.
func ExampleJudge() {
	j := sensors.NewJudge(map[string]sensors.Limits{"28-00000d05c001": sensors.DefaultLimits()})
	at := time.Date(2026, 3, 14, 18, 0, 0, 0, time.UTC)
	for _, r := range []sensors.Reading{
		{Value: 20, Cause: sensors.Good, HasRaw: true},
		{Value: 85, Cause: sensors.PowerOn, HasRaw: true},
		{Value: 20.0625, Cause: sensors.Good, HasRaw: true},
	} {
		r.Probe, r.At = "28-00000d05c001", at
		got := j.Consider(r)
		fmt.Printf("%v, %s: believed %v, %v old\n", r.Value, got.Last.Cause, got.Value, got.Age(at))
		at = at.Add(10 * time.Second)
	}
	// Output:
	// 20 °C, good: believed 20 °C, 0s old
	// 85 °C, power-on value: believed 20 °C, 10s old
	// 20.1 °C, good: believed 20.1 °C, 0s old
}

// A coil is excused while the pump has just started and warm liquid arrives.
func ExampleJudge_Excuse() {
	limits := sensors.DefaultLimits()
	j := sensors.NewJudge(map[string]sensors.Limits{"coil": limits})
	start := time.Date(2026, 3, 14, 18, 0, 0, 0, time.UTC)
	at := func(s int, v quantity.Celsius) sensors.Reading {
		return sensors.Reading{Probe: "coil", Value: v, HasRaw: true, Cause: sensors.Good, At: start.Add(time.Duration(s) * time.Second)}
	}
	j.Consider(at(0, 12))
	j.Excuse("coil", start.Add(time.Minute))
	fmt.Println(j.Consider(at(10, 40)).Last.Cause)
	fmt.Println(j.Consider(at(70, 12)).Last.Cause)
	// Output:
	// good
	// impossible jump
}
