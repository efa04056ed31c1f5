package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// What keeps heat from the tunnel is a fact of every step: an order by hand with its time,
// a stop with its reason; and none where the loop may run, or where the plan itself knows why
// not, as at the battery's reserve.
func TestBarred(t *testing.T) {
	t.Parallel()
	for name, row := range map[string]struct {
		bend func(*rig)
		want Barred
	}{
		"nothing": {func(*rig) {}, Barred{}},
		"hold":    {func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, Barred{By: BarredByHold, Left: time.Hour}},
		"watch":   {func(r *rig) { r.in.Orders = []Order{{WatchOnly, 2 * time.Hour}} }, Barred{By: BarredByWatch, Left: 2 * time.Hour}},
		"the longer of two": {func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}, {WatchOnly, 2 * time.Hour}} },
			Barred{By: BarredByWatch, Left: 2 * time.Hour}},
		"level":         {func(r *rig) { r.in.Level = LevelLow }, Barred{By: BarredByStop, Why: LevelIsLow}},
		"halted":        {func(r *rig) { r.st.Flow.Halted, r.st.Flow.Wait = true, time.Hour }, Barred{By: BarredByStop, Why: LoopHalted}},
		"slush":         {func(r *rig) { r.temp(Coil, -12.5) }, Barred{By: BarredByStop, Why: LoopSlush}},
		"cut off":       {func(r *rig) { r.st.Battery.CutOff, r.in.Meter.Volts = true, 11 }, Barred{By: BarredByStop, Why: BatteryCutOff}},
		"reserve":       {func(r *rig) { r.st.Charge.Share, r.st.Battery.Sparing = 0.45, true }, Barred{}},
		"held and low":  {func(r *rig) { r.in.Orders, r.in.Level = []Order{{HoldOff, time.Hour}}, LevelLow }, Barred{By: BarredByStop, Why: LevelIsLow}},
		"order is over": {func(r *rig) { r.in.Orders = []Order{{EndByHand, 0}} }, Barred{}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			row.bend(r)
			r.step(1)
			assert.Equal(t, row.want, r.d.Facts.Barred)
		})
	}
}

// bareNight is a plan with its course: without heat it falls by half a degree an hour.
func bareNight() night.Advice {
	a := aNight()
	a.Story.UnheatedAt, a.Story.UnheatedLow = a.Story.ColdestAt, -4
	var course []night.Expected
	for h := range 10 {
		course = append(course, night.Expected{At: a.Story.ColdestAt.Add(time.Duration(h-9) * time.Hour), Unheated: night.Bare{Air: 2.5 - float64(h)/2}})
	}
	a.Course = &course
	return a
}

// While heat is barred the night's words are of a tunnel without it: for the whole night,
// or up to the order's end and by the plan from then on. A plan that is not followed
// explains no decision.
func TestBarredNightInWords(t *testing.T) {
	t.Parallel()
	a := bareNight()
	at := a.Story.ColdestAt.Add(-9 * time.Hour) // 21:20
	say := func(b Barred) string { return TonightWords(a, b, at, quantity.SI, time.UTC) }
	assert.Equal(t, "Nothing heats the tunnel: held off by hand until 09:20. Without heat the tunnel is expected to fall to -2 °C at 06:20 (on one night in ten below -4 °C). End that order, or add a cover or bring another heat.",
		say(Barred{By: BarredByHold, Left: 12 * time.Hour}))
	assert.Contains(t, say(Barred{By: BarredByWatch, Left: 50 * time.Hour}), "watch only until Sat 17 Jan 23:20. Without heat the tunnel is expected to fall to -2 °C")
	assert.Contains(t, say(Barred{By: BarredByStop, Why: LevelIsLow}), "the tank's level switch says low. Without heat the tunnel is expected to fall to -2 °C")
	assert.Contains(t, say(Barred{By: BarredByStop, Why: LevelIsLow}), "See to that")
	assert.Contains(t, say(Barred{By: BarredByHold, Left: 2 * time.Hour}),
		"held off by hand until 23:20. Until then the tunnel is expected no colder than 1.5 °C; then as planned: Tank heat lasts to about 05:10;")
	a = night.Advice{Way: night.Waiting, Why: night.AirUnseen}
	assert.Contains(t, say(Barred{By: BarredByHold, Left: time.Hour}), "What the night brings is not known. End that order")
	assert.Empty(t, TonightWords(night.Advice{}, Barred{By: BarredByHold}, at, quantity.SI, time.UTC))

	d := Decision{Reason: Planned, Facts: Facts{Tonight: bareNight()}}
	require.Contains(t, d.Explain(quantity.SI), "no colder than")
	d.Facts.Barred = Barred{By: BarredByWatch, Left: time.Hour}
	assert.NotContains(t, d.Explain(quantity.SI), "no colder than")
}
