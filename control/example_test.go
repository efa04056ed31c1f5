package control_test

import (
	"fmt"
	"time"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// plant is an invented loop without a contactor.
func plant() control.Settings {
	s := control.Settings{
		StaleAfter: 30 * time.Second,
		Tank:       control.TankLimits{Hot: 80, Danger: 90, Hysteresis: 4, MinOpen: 5 * time.Minute},
		Crop:       control.CropLimits{Minimum: 4, Comfort: 11, Maximum: 29},
		Carry: control.Carry{
			Start: 8, Stop: 3, Worth: 5, Conductance: 23.4, Draw: 10, FanMargin: 1.5,
			MinRun: 3 * time.Minute, MinRest: 4 * time.Minute, PumpDuty: 1, FanDuty: 1,
		},
		Frost:   control.Frost{Freezing: -9.5, Margin: 3},
		Battery: control.Battery{Chemistry: control.AGM, Capacity: 20, Resistance: 0.015, CutOff: 11.8, Reconnect: 12.5, Delay: 40 * time.Second, BlindAfter: time.Hour},
		Proof:   control.Proof{Within: time.Minute, Difference: 5, Tries: 3, TryEvery: 10 * time.Minute},
	}
	s.Fitted.Places[control.Tank], s.Fitted.Places[control.Tunnel] = true, true
	return s
}

func evening() control.Inputs {
	in := control.Inputs{Elapsed: 10 * time.Second, ClockTrusted: true}
	in.Places[control.Tank] = control.Temperature{Value: 52, Ever: true}
	in.Places[control.Tunnel] = control.Temperature{Value: 6, Ever: true}
	in.Meter = control.Meter{Volts: 12.7, Amps: -0.1, HasVolts: true, HasAmps: true}
	return in
}

// Three samples of the battery, then heat is carried.
func ExampleStep() {
	settings, state := plant(), control.NewState()
	for range 3 {
		var d control.Decision
		state, d = control.Step(&settings, state, evening())
		fmt.Println(d.Mode, d.Reason, "pump", d.Outputs.Pump, "fans", d.Outputs.Fans)
	}
	// Output:
	// resting just-started pump 0 % fans 0 %
	// resting just-started pump 0 % fans 0 %
	// carrying difference pump 100 % fans 100 %
}

// A reason with its numbers, in the grower's units.
func ExampleDecision_Explain() {
	settings, state := plant(), control.NewState()
	var d control.Decision
	for range 3 {
		state, d = control.Step(&settings, state, evening())
	}
	fmt.Println(d.Explain(quantity.SI))
	fmt.Println(d.Explain(quantity.US))
	// Output:
	// the tank is warmer than the tunnel by more than the start difference (tank 52 °C, tunnel 6 °C, difference 46 K, stops at 3 K)
	// the tank is warmer than the tunnel by more than the start difference (tank 125.6 °F, tunnel 42.8 °F, difference 82.8 °F, stops at 5.4 °F)
}

// What a tank gone hot says: alerts carry the numbers and what to do.
func ExampleAlertChange() {
	settings, state := plant(), control.NewState()
	in := evening()
	in.Places[control.Tank].Value = 83
	_, d := control.Step(&settings, state, in)
	for _, a := range d.Changes {
		fmt.Println(a.Code, a.Kind, a.Severity)
	}
	fmt.Println("buzzer:", d.Outputs.Buzzer)
	// Output:
	// tank-hot raised alert
	// buzzer: true
}
