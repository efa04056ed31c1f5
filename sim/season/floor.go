package season

import (
	"math"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// Levelling holds the tunnel's air at the highest floor that heat and battery can hold
// until the morning, by what it remembers of the weather: it knows the plant, and no
// future.
type Levelling struct {
	twin    night.Twin
	volts   quantity.Volt // of the panel in full sun
	aim     night.Aim
	memory  *night.Memory
	outlook *night.Outlook
	ahead   night.Ahead
	from    int64 // the slot at which ahead begins
	floor   night.Floor
	pulse   pulse
	hold    Thermostat // of air so light that a duty means little between two looks at it
}

// NewLevelling for a house. The error names what the plant cannot be.
func NewLevelling(h House) (*Levelling, error) {
	t, volts, err := TwinOf(h.Plant)
	if err != nil {
		return nil, err
	}
	l := &Levelling{twin: t, volts: volts, memory: night.NewMemory(h.Night.Skies)}
	l.aim = night.Aim{
		Minimum: float64(h.Settings.Crop.Minimum) + margin,
		Floor:   float64(h.Settings.Battery.Reserve) * t.Capacity,
	}
	l.outlook = night.NewOutlook(l.memory, h.Night.Noon)
	return l, nil
}

// margin is how far above the crop's minimum it aims, K; lookAhead for how many slots,
// and lookEvery how often.
const (
	margin    = 0.1
	lookAhead = 160
	lookEvery = 6
)

// Duty of the floor, pulsed.
func (l *Levelling) Duty(now plant.State, dt time.Duration) quantity.Share {
	s := night.Sample{
		Time: now.Time, Passed: dt, Tank: float64(now.Tank), Air: float64(now.Tunnel), House: float64(now.Greenhouse),
		Bed: float64(now.Bed), Sun: float64(now.PanelVolts / l.volts), Charge: float64(now.BatteryCharge),
	}
	if l.memory.Add(&s) {
		l.level(now)
	}
	if l.twin.Light() {
		l.hold.On, l.hold.Band, l.hold.MinRun = quantity.Celsius(l.floor.Now), heldBand, leastRun
		return l.hold.Duty(now, dt)
	}
	return l.pulse.pass(l.floor.Duty, now.Tunnel < quantity.Celsius(l.floor.Now-heldBand), dt)
}

// heldBand is how far above its floor light air is let rise before a run ends, and other
// air fall below it before a run begins that is not yet owed, K. Our choice.
const heldBand = 0.5

// level seeks the floor anew.
func (l *Levelling) level(now plant.State) {
	slot := now.Time.Unix() / int64(night.Step)
	if l.from == 0 || slot-l.from >= lookEvery {
		a, ok := l.outlook.Ahead(slot, lookAhead)
		if !ok {
			l.floor = night.Floor{}
			return
		}
		l.ahead, l.from = a, slot
	}
	past := int(slot - l.from)
	a := l.ahead.From(past)
	n := l.outlook.Morning(slot, &a)
	a = a.First(n)
	from := night.Now{
		Tank: float64(now.Tank), Air: float64(now.Tunnel), Bed: float64(now.Bed),
		Charge: float64(now.BatteryCharge) * l.twin.Capacity,
	}
	l.floor = l.twin.Level(from, a, l.aim, night.Pulsed)
}

// pulse turns a share of time into runs.
type pulse struct {
	owed float64 // minutes
	runs bool
	ran  time.Duration
}

// leastRun is the shortest run, and how much must be owed for one.
const leastRun = 3 * time.Minute

// pass is what to do: a run is begun when it is owed, or at once where some is owed and the
// air is below the floor: of a strong coil little is owed for hours.
func (p *pulse) pass(duty float64, below bool, dt time.Duration) quantity.Share {
	p.owed = math.Min(p.owed+duty*dt.Minutes(), 30)
	switch {
	case !p.runs && (p.owed >= leastRun.Minutes() || below && duty > 0):
		p.runs, p.ran = true, 0
	case p.runs && p.owed <= 0 && p.ran >= leastRun:
		p.runs = false
	}
	if p.runs {
		p.owed -= dt.Minutes()
		p.ran += dt
	}
	return allOrNothing(p.runs)
}
