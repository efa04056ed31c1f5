package page

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// coldly gives a moment's plan a course without heat that is as cold as the story has it.
func coldly(m *Moment) *Moment {
	s := &m.Decision.Facts.Tonight.Story
	s.UnheatedAt, s.UnheatedLow = s.ColdestAt, s.Unheated-1.5
	var course []night.Expected
	for h := range 9 {
		air := 6.6 + (s.Unheated-6.6)*float64(h)/8
		course = append(course, night.Expected{At: m.At.Add(time.Duration(h) * time.Hour), Unheated: night.Bare{Air: air, Low: air, High: air}})
	}
	m.Decision.Facts.Tonight.Course = &course
	return m
}

func shortPlan(m *Moment) { m.Decision.Facts.Tonight.Story.Coldest = 2 }

func held(m *Moment) {
	m.Decision.Facts.Barred = control.Barred{By: control.BarredByHold, Left: 12 * time.Hour}
}

func heldAnHour(m *Moment) {
	m.Decision.Facts.Barred = control.Barred{By: control.BarredByHold, Left: time.Hour}
}

func watched(m *Moment) {
	m.Decision.Facts.Barred = control.Barred{By: control.BarredByWatch, Left: 12 * time.Hour}
}

func halted(m *Moment) {
	m.Decision.Facts.Barred = control.Barred{By: control.BarredByStop, Why: control.LoopHalted}
}

func coldAir(m *Moment) { m.Decision.Facts.Air = 4 }
func chilly(m *Moment)  { m.Decision.Facts.Air = 4.8 }

func coldAlert(m *Moment) {
	m.Alerts = []wire.Active{{Code: control.AlertTunnelCold.String(), Severity: control.Critical, Text: "cold"}}
}

func icy(m *Moment) {
	m.Alerts = []wire.Active{{Code: control.AlertNearFreezing.String(), Severity: control.Critical, Text: "ice"}}
}

// The answer of three seconds is judged by what can be done: whatever is planned, it never
// says safe while nothing heats a night that needs heat, while it is too cold now, or while
// an alert of cold is in force.
func TestLeadJudgesWhatIs(t *testing.T) {
	t.Parallel()
	ta := taste{units: quantity.US, half: true, zone: zone} // now is 10:04 pm there
	const minimum, bare = "the crop's minimum is 41 °F.", "Without heat about 34 °F at 6:04 am, the crop's minimum is 41 °F."
	rows := []struct {
		name       string
		bend       func(*Moment)
		fine, poor string
		grim       [2]bool
	}{
		{"nothing", func(*Moment) {}, "The crop is safe until morning.", "Too cold tonight: about 36 °F at 6:04 am, " + minimum, [2]bool{false, true}},
		{"hold", held, "Nothing heats the tunnel: held off by hand until 10:04 am. " + bare, "Nothing heats the tunnel: held off by hand until 10:04 am. " + bare, [2]bool{true, true}},
		{"hold for an hour", heldAnHour, "Nothing heats the tunnel: held off by hand until 11:04 pm. Then as planned: the crop is safe until morning.",
			"Nothing heats the tunnel: held off by hand until 11:04 pm. Then as planned: too cold tonight: about 36 °F at 6:04 am, " + minimum, [2]bool{false, true}},
		{"watch", watched, "Nothing heats the tunnel: watch only until 10:04 am. " + bare, "Nothing heats the tunnel: watch only until 10:04 am. " + bare, [2]bool{true, true}},
		{"halted", halted, "Nothing heats the tunnel: the loop did not move heat in any try; see to the pump, then resume. " + bare,
			"Nothing heats the tunnel: the loop did not move heat in any try; see to the pump, then resume. " + bare, [2]bool{true, true}},
		{"tunnel cold now", coldAir, "Too cold now: the tunnel is at 39 °F, " + minimum, "Too cold now: the tunnel is at 39 °F, " + minimum, [2]bool{true, true}},
		{"tunnel a little cold now", chilly, "At its limit now: the tunnel is at 41 °F, " + minimum, "At its limit now: the tunnel is at 41 °F, " + minimum, [2]bool{true, true}},
		{"alert of cold", coldAlert, "Too cold at times: the tunnel is at 44 °F now, " + minimum, "Too cold tonight: about 36 °F at 6:04 am, " + minimum, [2]bool{true, true}},
		{"alert of ice", icy, "The loop's liquid is near freezing: see below what to do.", "The loop's liquid is near freezing: see below what to do.", [2]bool{true, true}},
		{"held and cold now", func(m *Moment) { held(m); coldAir(m) }, "Too cold now: the tunnel is at 39 °F, " + minimum + " Nothing heats the tunnel: held off by hand until 10:04 am.",
			"Too cold now: the tunnel is at 39 °F, " + minimum + " Nothing heats the tunnel: held off by hand until 10:04 am.", [2]bool{true, true}},
	}
	for _, r := range rows {
		for i, plan := range []func(*Moment){func(*Moment) {}, shortPlan} {
			m := moment(now)
			m.Alerts = nil
			plan(m)
			r.bend(coldly(m))
			got, grim := m.lead(ta, 5)
			want := [2]string{r.fine, r.poor}[i]
			assert.Equal(t, want, strings.ReplaceAll(got, "\u00a0", " "), r.name)
			assert.Equal(t, r.grim[i], grim, r.name)
		}
	}
}

// A night that needs no heat is no alarm while nothing heats; one that may need some is; and
// an order that ends before the coldest hour is one where it is too cold by then.
func TestLeadOfABarredNight(t *testing.T) {
	t.Parallel()
	ta := taste{zone: zone}
	say := func(bend ...func(*Moment)) (string, bool) {
		m := moment(now)
		m.Alerts = nil
		coldly(m)
		for _, b := range bend {
			b(m)
		}
		text, grim := m.lead(ta, 5)
		return strings.ReplaceAll(text, "\u00a0", " "), grim
	}
	mild := func(low float64) func(*Moment) {
		return func(m *Moment) {
			s := &m.Decision.Facts.Tonight.Story
			s.Unheated, s.UnheatedLow, m.Decision.Facts.Tonight.Cold = 6.1, low, false
		}
	}
	text, grim := say(held, mild(5.5))
	assert.Equal(t, "Nothing heats the tunnel: held off by hand until 10:04. Even so no colder than 6.1 °C is expected, the crop's minimum is 5.0 °C.", text)
	assert.False(t, grim)
	text, grim = say(held, mild(4))
	assert.Equal(t, "Nothing heats the tunnel: held off by hand until 10:04. It may fall to 4.0 °C, the crop's minimum is 5.0 °C.", text)
	assert.True(t, grim)
	text, grim = say(func(m *Moment) {
		m.Decision.Facts.Barred = control.Barred{By: control.BarredByHold, Left: 7 * time.Hour}
	})
	assert.Equal(t, "Nothing heats the tunnel: held off by hand until 05:04. Without heat about 1.7 °C at 05:04, the crop's minimum is 5.0 °C.", text)
	assert.True(t, grim)
	text, grim = say(held, func(m *Moment) { m.Decision.Facts.Tonight.Way, m.Decision.Facts.Tonight.Course = night.Waiting, nil })
	assert.Equal(t, "Nothing heats the tunnel: held off by hand until 10:04. What the night brings is not known.", text)
	assert.True(t, grim)
}

// Where nobody plans by day that is no alarm yet; where only a floor is held it is judged.
func TestLeadWithoutAPlan(t *testing.T) {
	t.Parallel()
	m := moment(now)
	m.Alerts = nil
	m.Decision.Facts.Tonight = night.Advice{Way: night.Unasked}
	_, grim := m.lead(taste{zone: zone}, 5)
	assert.True(t, grim, "at ten in the evening")
	m.At = now.Add(14 * time.Hour)
	_, grim = m.lead(taste{zone: zone}, 5)
	assert.False(t, grim, "at noon")
	m.Decision.Facts.Tonight = night.Advice{Way: night.Levelled, Level: 2}
	text, grim := m.lead(taste{zone: zone}, 5)
	assert.Contains(t, text, "hold about 2.0\u00a0°C")
	assert.True(t, grim)
}

// The sentence under it is about the same night, and does not say the lead again.
func TestSentenceOfABarredNight(t *testing.T) {
	t.Parallel()
	m := coldly(moment(now))
	held(m)
	ta := taste{units: quantity.US, half: true, zone: zone}
	assert.Equal(t, "Without heat the tunnel is expected to fall to 33.8 °F at 6:04\u00a0am (on one night in ten below 31.1 °F). End that order, or add a cover or bring another heat.", m.sentence(ta))
	m.Decision.Facts.Tonight = night.Advice{}
	halted(m)
	assert.Equal(t, "See to that; until then add a cover or bring another heat.", m.sentence(ta), "where nobody plans")
	m = coldly(moment(now))
	heldAnHour(m)
	assert.Regexp(t, `^Until then the tunnel is expected no colder than 42.6 °F; then as planned: Tank heat lasts to about 5:04`, m.sentence(ta))
}

// Where the plan falls short and no alert is in force yet, what to do stands under it all
// the same; nothing needs doing only where that is known.
func TestAdviceUnderAGrimLead(t *testing.T) {
	t.Parallel()
	ask := func(bend ...func(*Moment)) string {
		b := newBench(t)
		m := moment(now)
		m.Alerts = nil
		for _, f := range bend {
			f(m)
		}
		b.Show(m)
		_, text, _ := strings.Cut(b.ask("GET", "/", nil).Body.String(), `id="alerts"`)
		text, _, _ = strings.Cut(text, "</div>")
		return strings.ReplaceAll(text, "\u00a0", " ")
	}
	assert.Contains(t, ask(), "Nothing needs doing.")
	assert.Contains(t, ask(shortPlan), "add a cover, move the trays or bring another heat before 06:04.")
	assert.Contains(t, ask(coldAir, func(m *Moment) { m.Decision.Facts.Tonight.Cold = false }), "Add a cover or move the trays if you can.")
	blind := ask(func(m *Moment) { m.Decision.Facts.Tonight = night.Advice{}; m.At = now.Add(14 * time.Hour) })
	assert.Contains(t, blind, "No alert is in force.")
	assert.NotContains(t, blind, "Nothing needs doing.")
}
