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
	params   Params
	wells    wells
	slow     float64          // V, the part of the voltage that fades
	amps     float64          // of the last step, positive charging
	held     float64          // V, the set-point while a charger holds the voltage; 0 otherwise
	floating bool             // the charger has fallen to float
	at       quantity.Celsius // of the last step
	book     Book

	dt     time.Duration // of the last step, and what it makes of the rates
	step   pace
	fading float64 // the part of the slow voltage that goes in a step
	minute pace
}

// Book is the battery's account in ampere-hours: Charge now = Charge at New +
// In - Out - Lost - Faded.
type Book struct {
	In    quantity.AmpereHour // charged at the terminals
	Out   quantity.AmpereHour // discharged at the terminals
	Lost  quantity.AmpereHour // charged but not stored
	Faded quantity.AmpereHour // self-discharge
	// Refused was offered and not taken. It is no part of the charge.
	Refused quantity.AmpereHour
}

// New is a rested battery at 25 °C with a share of its charge.
func New(p Params, charge quantity.Share) (*Battery, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if !(charge >= 0 && charge <= 1) {
		return nil, fmt.Errorf("battery charge %v: must be 0 to 100 %%", charge)
	}
	c, all := float64(p.Ready), float64(charge)*float64(p.Capacity)
	b := &Battery{params: p, at: 25, wells: wells{c: c, k: float64(p.Exchange), ready: c * all, bound: (1 - c) * all}}
	b.minute = b.wells.pace(1.0 / 60)
	return b, nil
}

// Step lets dt pass with a current offered (positive) or asked for (negative), at
// the battery's temperature, and says what current flowed: less than offered when
// the battery is nearly full, cold (LiFePO4) or at its set-point, less than asked
// for when no more is ready. A dt of nothing changes nothing.
func (b *Battery) Step(dt time.Duration, offered quantity.Ampere, at quantity.Celsius) quantity.Ampere {
	if dt <= 0 {
		return quantity.Ampere(b.amps)
	}
	b.keepPace(dt)
	b.at, b.held = at, 0
	b.selfDischarge(at)
	if offered >= 0 {
		b.amps = b.take(float64(offered), at)
	} else {
		b.amps = -b.give(-float64(offered), at)
	}
	b.relax()
	return quantity.Ampere(b.amps)
}

// keepPace works the exponentials out where the step's length is a new one.
func (b *Battery) keepPace(dt time.Duration) {
	if dt == b.dt {
		return
	}
	b.dt, b.step = dt, b.wells.pace(dt.Hours())
	b.fading = -math.Expm1(-dt.Seconds() / b.params.SlowTime.Seconds())
}

// give discharges with as much of the current asked for as is ready.
func (b *Battery) give(asked float64, at quantity.Celsius) float64 {
	amps := min(asked, max(0, b.wells.most(b.locked(at), b.step)))
	b.wells.flow(amps, b.step)
	b.book.Out += quantity.AmpereHour(amps * b.step.hours)
	b.floating = b.floating && b.Charge() >= bulkBelow
	return amps
}

// locked is the charge, in Ah, that cold keeps from being drawn; it stands in both
// wells, by their shares, so that a cold battery is a smaller one of the same kind.
// The exchange is not slowed by cold: it should be, and no figure was at hand.
func (b *Battery) locked(at quantity.Celsius) float64 {
	return (1 - float64(b.params.Chemistry.CapacityAt(at))) * float64(b.params.Capacity)
}

// selfDischarge doubles with every 10 K (common rule, no source).
func (b *Battery) selfDischarge(at quantity.Celsius) {
	rate := float64(b.params.SelfDischarge) / (30 * 24) * math.Exp2((float64(at)-25)/10)
	before := b.wells.all()
	b.wells.fade(min(1, rate*b.step.hours))
	b.book.Faded += quantity.AmpereHour(before - b.wells.all())
}

// Charge is the true state of charge: a share of all the charge of a full battery.
func (b *Battery) Charge() quantity.Share {
	return quantity.Share(b.wells.all() / float64(b.params.Capacity))
}

// Wells are the charges ready and bound, which sum to that of the battery.
func (b *Battery) Wells() (ready, bound quantity.AmpereHour) {
	return quantity.AmpereHour(b.wells.ready), quantity.AmpereHour(b.wells.bound)
}

// Kind is the battery's chemistry.
func (b *Battery) Kind() Chemistry { return b.params.Chemistry }

// Book is the account since New.
func (b *Battery) Book() Book { return b.book }

// Available is the charge that can be drawn within the next minute at a temperature;
// after a rest it is more, because bound charge follows.
func (b *Battery) Available(at quantity.Celsius) quantity.AmpereHour {
	return quantity.AmpereHour(max(0, b.wells.most(b.locked(at), b.minute)*b.minute.hours))
}

// Amps is the current of the last step, positive charging.
func (b *Battery) Amps() quantity.Ampere { return quantity.Ampere(b.amps) }
