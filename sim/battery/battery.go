package battery

import (
	"fmt"
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Battery is one battery's state. The zero value is not usable; see New. It is
// not safe for concurrent use.
type Battery struct {
	params Params
	charge float64 // Ah
	slow   float64 // V, the part of the voltage that fades
	amps   float64 // of the last step, positive charging
	held   float64 // V, the set-point while a charger holds the voltage; 0 otherwise
	book   Book
}

// Book is the battery's account in ampere-hours: Charge now = Charge at New +
// In - Out - Lost - Faded.
type Book struct {
	In    quantity.AmpereHour // charged at the terminals
	Out   quantity.AmpereHour // discharged at the terminals
	Lost  quantity.AmpereHour // charged but not stored
	Faded quantity.AmpereHour // self-discharge
}

// New is a rested battery with a share of its charge.
func New(p Params, charge quantity.Share) (*Battery, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if !(charge >= 0 && charge <= 1) {
		return nil, fmt.Errorf("battery charge %v: must be 0 to 100 %%", charge)
	}
	return &Battery{params: p, charge: float64(charge) * float64(p.Capacity)}, nil
}

// Step lets dt pass with a current offered (positive) or asked for (negative), at
// the battery's temperature, and says what current flowed: less than offered when
// the battery is nearly full, cold (LiFePO4) or at its set-point, less than asked
// for when it is empty.
func (b *Battery) Step(dt time.Duration, offered quantity.Ampere, at quantity.Celsius) quantity.Ampere {
	hours := dt.Hours()
	if hours <= 0 {
		return quantity.Ampere(b.amps)
	}
	b.selfDischarge(hours, at)
	b.held = 0
	amps := float64(offered)
	if amps >= 0 {
		amps = b.take(amps, hours, at)
	} else {
		amps = -math.Min(-amps, b.available(at)/hours)
		b.charge += amps * hours
		b.book.Out += quantity.AmpereHour(-amps * hours)
	}
	b.amps = amps
	b.relax(dt)
	return quantity.Ampere(amps)
}

// take charges with as much of the offered current as the battery accepts.
func (b *Battery) take(offered, hours float64, at quantity.Celsius) float64 {
	amps := math.Min(offered, float64(b.Acceptance(at)))
	stored := amps * hours * float64(b.params.Efficiency)
	if room := float64(b.params.Capacity) - b.charge; stored > room {
		stored = room
		amps = stored / hours / float64(b.params.Efficiency)
	}
	if amps < offered {
		b.held = float64(b.setPoint(at))
	}
	b.charge += stored
	b.book.In += quantity.AmpereHour(amps * hours)
	b.book.Lost += quantity.AmpereHour(amps*hours - stored)
	return amps
}

// relax moves the slow part of the voltage towards what the current, or the
// charger's set-point, asks for: exactly, for a current held over dt.
func (b *Battery) relax(dt time.Duration) {
	target := b.amps * float64(b.params.Slow)
	if b.held > 0 {
		target = b.held - float64(b.Rest()) - b.amps*float64(b.params.Resistance)
	}
	b.slow = target + (b.slow-target)*math.Exp(-dt.Seconds()/b.params.SlowTime.Seconds())
}

// selfDischarge doubles with every 10 K (common rule, no source).
func (b *Battery) selfDischarge(hours float64, at quantity.Celsius) {
	rate := float64(b.params.SelfDischarge) / (30 * 24) * math.Exp2((float64(at)-25)/10)
	lost := math.Min(b.charge, b.charge*rate*hours)
	b.charge -= lost
	b.book.Faded += quantity.AmpereHour(lost)
}

// Acceptance is the largest charging current the battery takes now: by its size
// (a quarter of the capacity an hour for lead-acid, half for LiFePO4; our choice),
// by the charger's set-point, and by the taper when nearly full. LiFePO4 takes
// none below 0 °C: its protection must refuse, because charging then plates
// lithium for good (common to several cell datasheets).
func (b *Battery) Acceptance(at quantity.Celsius) quantity.Ampere {
	limit := float64(b.params.Capacity) / 4
	if b.params.Chemistry == LiFePO4 {
		if at < 0 {
			return 0
		}
		limit *= 2
	}
	missing := float64(b.params.Capacity) - b.charge
	limit = math.Min(limit, missing/float64(b.params.Efficiency)/b.params.Taper.Hours())
	ceiling := (float64(b.absorb(at)) - float64(b.Rest()) - b.slow) / float64(b.params.Resistance)
	return quantity.Ampere(math.Max(0, math.Min(limit, ceiling)))
}

// fullEnough is the charge at which the charger falls from absorb to float. Our
// choice.
const fullEnough = 0.985

func (b *Battery) setPoint(at quantity.Celsius) quantity.Volt {
	if b.Charge() >= fullEnough {
		return b.compensated(b.params.Float, at)
	}
	return b.absorb(at)
}

func (b *Battery) absorb(at quantity.Celsius) quantity.Volt {
	return b.compensated(b.params.Absorb, at)
}

// compensated moves a lead-acid set-point by -5 mV/K in each of six cells (one
// flooded deep-cycle datasheet).
func (b *Battery) compensated(v quantity.Volt, at quantity.Celsius) quantity.Volt {
	if b.params.Chemistry == LiFePO4 {
		return v
	}
	return v - quantity.Volt(0.030*(float64(at)-25))
}

// Charge is the true state of charge, of the capacity at 25 °C.
func (b *Battery) Charge() quantity.Share {
	return quantity.Share(b.charge / float64(b.params.Capacity))
}

// Book is the account since New.
func (b *Battery) Book() Book { return b.book }

// Available is the charge that can still be drawn at a temperature.
func (b *Battery) Available(at quantity.Celsius) quantity.AmpereHour {
	return quantity.AmpereHour(b.available(at))
}

func (b *Battery) available(at quantity.Celsius) float64 {
	locked := (1 - float64(b.params.Chemistry.CapacityAt(at))) * float64(b.params.Capacity)
	return math.Max(0, b.charge-locked)
}

// Amps is the current of the last step, positive charging.
func (b *Battery) Amps() quantity.Ampere { return quantity.Ampere(b.amps) }

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
	return b.Rest() + quantity.Volt(b.slow+float64(amps)*float64(b.params.Resistance))
}
