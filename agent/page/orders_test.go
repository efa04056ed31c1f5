package page

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/wire"
	"duskloop/control"
)

// Where an order is given it stands what it does not protect from: scalding, pressure, the
// panel's switch, the pump's fuse, and that the pump starts by itself at a time of day.
func TestOrdersSayWhatTheyDoNotProtectFrom(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	text := strings.ReplaceAll(b.ask("GET", "/hand", nil).Body.String(), "\u00a0", " ")
	_, hold, _ := strings.Cut(text, "<h2>Hold off</h2>")
	hold, _, _ = strings.Cut(hold, "</form>")
	for _, say := range []string{
		"Not a safeguard: it ends by itself", "the pump may start then", "pull the pump&#39;s fuse", "panel&#39;s DC switch", "under pressure", control.Scalds,
		`value="2 h" data-live>2 h, until 00:04</option>`, `value="24 h" data-live>24 h, until Fri 16 Jan 22:04</option>`, `aria-describedby="does-hold caution-hold"`,
	} {
		assert.Contains(t, hold, say)
	}
	assert.Contains(t, text, "In force: watch only: nothing is switched, until 23:04; then the pump may start by itself")
}

// To try again is offered only where something is stopped or waits, with its caution.
func TestTryAgainOnlyWhereStopped(t *testing.T) {
	t.Parallel()
	for name, row := range map[string]struct {
		bend func(*Moment)
		want bool
	}{
		"well": {func(*Moment) {}, false},
		"held": {held, false},
		"level": {func(m *Moment) {
			m.Decision.Facts.Barred = control.Barred{By: control.BarredByStop, Why: control.LevelIsLow}
		}, false},
		"halted": {halted, true},
		"waits": {func(m *Moment) {
			m.Decision.Facts.Barred = control.Barred{By: control.BarredByStop, Why: control.LoopWaits}
		}, true},
		"slush": {func(m *Moment) {
			m.Decision.Facts.Barred = control.Barred{By: control.BarredByStop, Why: control.LoopSlush}
		}, true},
		"one more": {func(m *Moment) { m.Alerts = []wire.Active{{Code: control.AlertLoopStill.String()}} }, true},
	} {
		b := newBench(t)
		m := moment(now)
		row.bend(m)
		b.Show(m)
		text := b.ask("GET", "/hand", nil).Body.String()
		assert.Equal(t, row.want, strings.Contains(text, `value="resume"`), name)
		if row.want {
			_, again, _ := strings.Cut(text, "try again</h2>")
			assert.Contains(t, again, "The pump may start within seconds", name)
		}
	}
}

// The end of an order in force is a time of day, with its day where that is far.
func TestOrdersEndAtATimeOfDay(t *testing.T) {
	t.Parallel()
	m := moment(now)
	m.Hand = []Order{{Name: "hold", Words: "held off: nothing starts", Left: 96 * time.Minute}, {Name: "watch", Words: "watch only", Left: 70 * time.Hour}, {Name: "run-fans", Words: "the fans run", Left: time.Minute}}
	assert.Equal(t, []string{
		"held off: nothing starts, until 11:40\u00a0pm; then the pump may start by itself",
		"watch only, until Sun 18 Jan 8:04\u00a0pm; then the pump may start by itself",
		"the fans run, until 10:05\u00a0pm",
	}, m.orders(taste{half: true, zone: zone}))
	b := newBench(t)
	b.enter(t)
	assert.Equal(t, http.StatusSeeOther, b.ask("POST", "/hand", url.Values{"order": {"resume"}}).Code, "from elsewhere it may be given as ever")
}

// The ends that are shown go with the time while the page stands open, and so does what is
// in force.
func TestOrdersEndsAreLive(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	m := moment(now.Add(time.Hour))
	e, err := b.eventFor(httptest.NewRequest("GET", staged(stageHand, ""), nil), m, nil, taste{zone: zone})
	require.NoError(t, err)
	text := strings.ReplaceAll(string(e), "\u00a0", " ")
	assert.Contains(t, text, `"until-hold-2h":"2 h, until 01:04"`)
	assert.Contains(t, text, "In force: watch only")
	b.Show(m)
	page := b.ask("GET", "/hand", nil).Body.String()
	assert.Contains(t, page, `id="until-hold-2h"`)
	assert.Contains(t, page, `data-stream="/live?of=hand"`)
	m.Hand = nil
	assert.Contains(t, b.handPieces(m, taste{zone: zone})["force"], "Nothing is ordered by hand")
}
