package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors/quantity"
)

// emptied is a battery as rated at 24 Ah of which so much was drawn since it was full.
func emptied(holds quantity.Share, drawn, put quantity.AmpereHour) Age {
	return Age{Rated: 24, Holds: holds, Drawn: drawn, Put: put, Full: true}
}

// What a battery still holds, by the plain quotient: 6 Ah drawn that empty it by a half
// show 12 Ah of 24; with a doubt of a fifth of that for the voltage and 2 % for the meter,
// 14.64 at most. Half of the way there.
func TestAgeMovesOnlyWhereTheReadingContradicts(t *testing.T) {
	t.Parallel()
	half := reading{share: 0.5, band: 0.1, ok: true}
	rows := []struct {
		name string
		age  Age
		r    reading
		want float64
	}{
		{"an old battery", emptied(1, 6, 0), half, (1 + 0.61) / 2},
		{"again", emptied(0.8, 6, 0), half, (0.8 + 0.61) / 2},
		{"as rated, within the doubt", emptied(1, 11, 0), half, 1},
		{"a new one where an old one was", emptied(0.6, 12, 0), half, (0.6 + 0.78) / 2},
		{"not before it was full", Age{Rated: 24, Holds: 1, Drawn: 6}, half, 1},
		{"not when little is gone", emptied(1, 2, 0), reading{0.8, 0.1, true}, 1},
		{"not when much was put in", emptied(1, 6, 3), half, 1},
		{"what was put in counts for what is kept", emptied(1, 7, 1), half, (1 + (7-0.85)/12*1.22 + 0.15/12) / 2},
		{"nor at its very end", emptied(1, 6, 0), reading{0.1, 0.1, true}, 1},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.InDelta(t, row.want, float64(row.age.judge(row.r, AGM).Holds), 1e-9)
		})
	}
}

func TestAgeIsJudgedOnceForEachDepth(t *testing.T) {
	t.Parallel()
	half := reading{share: 0.5, band: 0.1, ok: true}
	once := emptied(1, 6, 0).judge(half, AGM)
	assert.Equal(t, once, once.judge(half, AGM), "one night is one night")
	assert.Less(t, float64(once.judge(reading{0.4, 0.1, true}, AGM).Holds), float64(once.Holds), "deeper is another look")
	assert.False(t, once.lost().Full)
	assert.Equal(t, Age{Rated: 30, Holds: 1}, once.of(&Battery{Capacity: 30}), "another battery begins anew")
}

// A count on a battery that holds three quarters of what is printed on it.
func TestAgeCounts(t *testing.T) {
	t.Parallel()
	r := charged(0.9, 0.01)
	r.st.Charge.Age = Age{Rated: r.s.Battery.Capacity, Holds: 0.75}
	r.in.Meter.Volts, r.in.Meter.Amps = 12.45, -2.4
	r.step(2)
	r.st.Charge.Share = 0.9
	r.run(time.Hour)
	assert.InDelta(t, 0.9-2.4/(24*0.75), float64(r.st.Charge.Share), 1e-6)
}

// A cold LiFePO4 battery refuses the current, and the charger's voltage stands: it is
// not full.
func TestRefusedIsNotFull(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name string
		at   quantity.Celsius
		want float64
	}{{"cold", 1, 0.6}, {"warm", 12, 1}} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := charged(0.6, 0.1)
			r.s.Battery.Chemistry, r.s.Battery.Where, r.s.Battery.Placed = LFP, Greenhouse, true
			r.s.Fitted.Places[Greenhouse] = true
			r.temp(Greenhouse, row.at)
			r.in.Meter.Volts, r.in.Meter.Amps = 14.2, 0
			r.run(2 * time.Hour)
			assert.InDelta(t, row.want, float64(r.st.Charge.Share), 0.02)
		})
	}
}

// Below 80 % of what is printed on it, whatever the band; another battery is not blamed.
func TestAgedIsTold(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		holds quantity.Share
		rated quantity.AmpereHour
		want  bool
	}{{0.6, 24, true}, {0.7, 24, false}, {1, 24, false}, {0.6, 30, false}, {0, 24, false}} {
		r := settledRig()
		r.s.Battery.Capacity = 24
		r.st.Charge.Age = Age{Rated: row.rated, Holds: row.holds}
		v := see(&r.s, &r.st, &r.in)
		assert.Equal(t, row.want, v.raises(AlertAged, Places), "%v of %v", row.holds, row.rated)
	}
}
