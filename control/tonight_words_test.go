package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

func aNight() night.Advice {
	at := func(h, m int) time.Time { return time.Date(2026, 1, 16, h, m, 0, 0, time.UTC) }
	return night.Advice{Way: night.Planned, Cold: true, Story: night.Story{
		Coldest: 3.4, Low: 1.9, High: 4.8, ColdestAt: at(6, 20), Unheated: -2, Lasts: at(5, 10), From: at(4, 0), To: at(7, 0),
		Left: 310, Needed: 290, Charge: 0.74, ChargeEnd: 0.51,
	}}
}

// The sentence of the night, in both families of units, and where something is missing.
func TestTonightInWords(t *testing.T) {
	t.Parallel()
	a := aNight()
	assert.Equal(t, "Tank heat lasts to about 05:10; tunnel expected no colder than 3.4 °C at 06:20 (80 % band 1.9 to 4.8 °C; -2 °C without heat); battery 74 % → 51 %.",
		TonightWords(a, Barred{}, time.Time{}, quantity.SI, time.UTC))
	assert.Contains(t, TonightWords(a, Barred{}, time.Time{}, quantity.US, time.FixedZone("", -5*3600)), "38.1 °F at 01:20 (80 % band 35.4 to 40.6 °F; ")
	a.Story.Lasts = time.Time{}
	assert.Contains(t, TonightWords(a, Barred{}, time.Time{}, quantity.SI, time.UTC), "beyond the coldest hour")
	a.Cold, a.Story.Unheated = false, 7.1
	assert.Contains(t, TonightWords(a, Barred{}, time.Time{}, quantity.SI, time.UTC), "no colder than 7.1 °C without it (80 % band 1.9 to 4.8 °C).")
	for _, why := range []night.Doubt{night.ClockUnset, night.TankUnseen, night.AirUnseen, night.HouseUnseen, night.BatteryUnseen} {
		assert.Contains(t, TonightWords(night.Advice{Way: night.Waiting, Why: why}, Barred{}, time.Time{}, quantity.SI, time.UTC), why.String())
	}
	assert.Contains(t, TonightWords(night.Advice{Way: night.Levelled, Level: 2.5, Why: night.TwinWrong}, Barred{}, time.Time{}, quantity.SI, time.UTC), "held at 2.5 °C")
	assert.Empty(t, TonightWords(night.Advice{}, Barred{}, time.Time{}, quantity.SI, time.UTC))
}

// Every run and every rest of a planned night says why, with numbers.
func TestPlanExplainsItself(t *testing.T) {
	t.Parallel()
	d := Decision{Facts: Facts{Tonight: aNight()}}
	for r, want := range map[Reason]string{
		Saving:  "saving heat for colder hours (next 04:00–07:00: 310 Wh left in the tank, about 290 Wh wanted; no colder than 3.4 °C at 06:20)",
		Planned: "heat is spent now, as planned for the night (310 Wh left in the tank, about 290 Wh wanted; no colder than 3.4 °C at 06:20; battery 74 % → 51 %)",
		NoNeed:  "no cold is expected that needs heat (expected no colder than -2 °C)",
	} {
		d.Reason = r
		assert.Equal(t, want, d.Explain(quantity.SI))
	}
	d.Facts.Tonight = night.Advice{Way: night.Levelled, Level: 2.5, Why: night.TwinWrong}
	d.Reason = Levelling
	assert.Contains(t, d.Explain(quantity.SI), "(2.5 °C; the greenhouse did not do what was forecast)")
}

// What was learned is said where it strikes, and only then.
func TestLearnedFiguresInWords(t *testing.T) {
	t.Parallel()
	a := aNight()
	a.Learned = &[]night.Learned{
		{Name: "coil", Unit: "W/K", File: 25, Value: 18.04, Width: 0.04, Told: true, Striking: true},
		{Name: "tank heat", Unit: "J/K", File: 160e3, Value: 203_560, Width: 0.02, Told: true, Striking: true},
		{Name: "tunnel cover", Unit: "W/K", File: 25, Value: 26, Width: 0.04, Told: true},
	}
	words := TonightWords(a, Barred{}, time.Time{}, quantity.SI, time.UTC)
	assert.Contains(t, words, "51 %. Learned here: coil 18.0 W/K (± 4 %), by the greenhouse file 25.0; tank heat 204000 J/K (± 2 %), by the greenhouse file 160000.")
	assert.NotContains(t, words, "cover")
	a.Way = night.Unasked
	assert.Empty(t, TonightWords(a, Barred{}, time.Time{}, quantity.SI, time.UTC))
}
