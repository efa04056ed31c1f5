package battery

import (
	"duskloop/sensors/quantity"
)

// knee is where the voltage bends down, as D of the voltage of Manwell and McGowan,
// E = E0 + A X + C X/(D-X) with X the charge drawn as a share of what the load can
// draw. Here the rest voltage stands for E0 + A X, X is taken from the ready well,
// and C is such that the last of it ends at the chemistry's empty voltage. Our
// estimate: with it a load of C/20 reads about 0.4 V below rest at 10 % left, as
// usual discharge curves do (from memory). A smaller one bends earlier.
const knee = 1.02

// light is the load, as a share of the capacity an hour, under which an empty ready
// well shows only half: it still gets a little from the bound charge. Our estimate.
const light = 1.0 / 400

// Rest is the voltage the battery settles at when left alone.
func (b *Battery) Rest() quantity.Volt { return b.params.Chemistry.RestVoltage(b.Charge()) }

// Volts is the voltage at the terminals with the current of the last step.
func (b *Battery) Volts() quantity.Volt {
	if b.held > 0 {
		return quantity.Volt(b.held)
	}
	return b.VoltsAt(quantity.Ampere(b.amps))
}

// VoltsAt is the voltage the terminals would show at once with another current.
func (b *Battery) VoltsAt(amps quantity.Ampere) quantity.Volt {
	rest := b.Rest()
	if amps < 0 {
		rest -= b.sag(rest, -float64(amps))
	}
	return rest + quantity.Volt(b.slow+float64(amps)*float64(b.params.Resistance))
}

// sag is how far a load pulls the voltage down because little is ready.
func (b *Battery) sag(rest quantity.Volt, load float64) quantity.Volt {
	locked, all := b.locked(b.at), float64(b.params.Capacity)
	left := (b.wells.ready - b.wells.c*locked) / (b.wells.c * (all - locked))
	x := 1 - min(max(left, 0), 1)
	share := x * (knee - 1) / (knee - x) * load / (load + light*all)
	return quantity.Volt(share) * max(0, rest-b.params.Chemistry.emptyVoltage())
}

// relax moves the slow part of the voltage towards what the current, or the
// charger's set-point, asks for: exactly, for a current held over the step.
func (b *Battery) relax() {
	target := b.amps * float64(b.params.Slow)
	if b.held > 0 {
		target = b.held - float64(b.Rest()) - b.amps*float64(b.params.Resistance)
	}
	b.slow += (target - b.slow) * b.fading
}
