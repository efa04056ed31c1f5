package plant

import (
	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
	"duskloop/sim/coil"
	"duskloop/sim/sun"
)

// AlderHollow is the invented demonstration plant: a 24 L tank on 420 W of panel,
// a 1.4 m³ tunnel on a bench in a small glasshouse at an invented place. The
// numbers stand for nobody's plant; where a figure has a source it is said at the
// helper that gives it (CoverLoss, AirChange).
func AlderHollow() Params {
	return Params{
		Site: sun.Site{Latitude: 44.2, Longitude: -78.6, Elevation: 190},
		Tank: Tank{Volume: 24, Glycerin: 0.35, Loss: 0.42, CutOut: 92, CutOutReset: 12},
		Element: Element{
			Panel:      Panel{Rating: 420, Plane: sun.Plane{Tilt: 62, Facing: 175, Albedo: sun.Ground}},
			Resistance: 1.15,
			Cable:      0.03,
		},
		Loop: Loop{
			Volume: 0.7, Pump: 7, PumpHeat: 0.5, Still: 0.9,
			Circuit: coil.Circuit{Flow: 1.9, Head: 1.6, Bore: 0.010, Length: 7},
		},
		Coil: Coil{Coil: coil.Coil{Fins: 42, AirFlow: 0.034, Bore: 0.008, Length: 9, Circuits: 1}},
		Fans: Fans{Power: 5, InTunnel: 1},
		Tunnel: Tunnel{
			Air: 14e3, Bed: 330e3, BedToAir: 9, BedToSoil: 1.2, Soil: 8.5,
			Cover: 20, Sun: 0.55, SunToBed: 0.6,
			Vent: Vent{Opens: 26, Band: 2, Conductance: 110},
		},
		Greenhouse: Greenhouse{
			Air: 260e3, Cover: 88, Leak: 12, Sun: 2.1, SkyLoss: 0.5,
			Vent: Vent{Opens: 25, Band: 2, Conductance: 480},
		},
		Supply: Supply{
			Battery:  battery.Typical(battery.AGM, quantity.AmpereHour(34)),
			Panel:    Panel{Rating: 60, Plane: sun.Plane{Tilt: 62, Facing: 175, Albedo: sun.Ground}},
			Charger:  Direct,
			BaseLoad: 2.2,
		},
	}
}

// Dusk is a starting state for the demonstration: a warm tank after a clear day.
func Dusk() State {
	return State{
		Tank: 63, Coil: 9, Return: 9, Tunnel: 9, Bed: 12, Greenhouse: 6, Outdoors: 4,
		BatteryCharge: 0.95,
	}
}

// Evening is a starting state some hours later: the tunnel has cooled, the tank waits.
func Evening() State {
	return State{
		Tank: 60, Coil: 2, Return: 2, Tunnel: 2, Bed: 9, Greenhouse: -1, Outdoors: -2,
		BatteryCharge: 0.93,
	}
}

// Typical is how ordinary probes and an ordinary meter read: 12-bit steps of
// 0.0625 K, and small errors of our own choosing.
func Typical(seed uint64) ProbeParams {
	return ProbeParams{
		Step: 0.0625, Noise: 0.03, Spread: 0.15, Lag: 8e9, Seed: seed,
		Meter: MeterParams{
			VoltNoise: 0.006, VoltGain: 1.002, VoltStep: 0.004,
			AmpereNoise: 0.004, AmpereZero: 0.003, AmpereGain: 0.995, AmpereStep: 0.001,
		},
	}
}
