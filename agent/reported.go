package agent

import (
	"errors"
	"time"

	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// seen is what the last tick knew.
type seen struct {
	at       time.Time
	inputs   control.Inputs
	charge   quantity.Share
	chargeOK bool
	barred   control.Barred
}

// stands is how the loop stood then, if tank, tunnel and battery are known; a bed that has no
// probe is taken as warm as the tunnel's air.
func (s *seen) stands() (b season.Begun, ok bool) {
	tank, tunnel, bed := &s.inputs.Places[control.Tank], &s.inputs.Places[control.Tunnel], &s.inputs.Places[control.Bed]
	if !bed.Ever {
		bed = tunnel
	}
	b = season.Begun{At: s.at, Tank: tank.Value, Tunnel: tunnel.Value, Bed: bed.Value, Charge: s.charge}
	return b, tank.Ever && tunnel.Ever && max(tank.Age, tunnel.Age) <= stood && s.chargeOK
}

// stood is how old a temperature may be of which a night ahead begins. Our choice.
const stood = 10 * time.Minute

// reported are the last tick's readings. Before the first there are none.
func (l *Loop) reported() (*wire.Report, error) {
	if l.seen.at.IsZero() {
		return nil, errors.New("nothing was read yet; ask again in a moment")
	}
	x := &wire.Report{
		At: l.seen.at.UTC().Round(time.Millisecond), PeriodS: l.File.Daemon.Period.Duration().Seconds(),
		Places: []wire.Reported{},
	}
	for p := range control.Places {
		if l.settings.Fitted.Places[p] {
			x.Places = append(x.Places, l.reading(p))
		}
	}
	if v := l.seen.inputs.Panel; v.Has || v.Cause != "" {
		x.Panel = &wire.Reported{Place: "panel", Trouble: v.Cause}
		if v.Has {
			x.Panel.V, x.Panel.AgeS = optional(float64(v.Volts), true), v.Age.Seconds()
		}
		x.Panel.Fresh = v.Has && v.Age <= l.settings.StaleAfter && v.Cause == ""
	}
	return x, nil
}

// reading of a place: the last believed value, and what is wrong with the latest attempt.
func (l *Loop) reading(p control.Place) wire.Reported {
	t := l.seen.inputs.Places[p]
	x := wire.Reported{Place: p.String(), Trouble: t.Cause}
	if t.Ever {
		x.V, x.AgeS = optional(float64(t.Value), true), t.Age.Seconds()
	}
	x.Fresh = t.Ever && t.Trouble == control.NoTrouble && t.Age <= l.settings.StaleAfter
	return x
}
