package nightly

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
)

// told is a story at an hour of the night.
func told(h float64, doc wire.Tonight) record.Event {
	body, _ := json.Marshal(doc)
	return record.Event{At: hour(h), Loop: "bench", Kind: record.KindTonight, Body: body}
}

func c(v float64) *float64 { return &v }

// The story nearest to dusk, 17:10, is compared: that of 17:30; one without a plan gives way.
func TestWhatWasExpectedAtDusk(t *testing.T) {
	t.Parallel()
	at, lasts := hour(14.5), hour(15.5)
	s := NewSum(byHand())
	s.Told([]record.Event{
		told(4.5, wire.Tonight{Way: "plan", HeatNeeded: true, ColdestC: c(7)}),
		told(5.2, wire.Tonight{Way: "minimum", Why: "it has only begun to look"}),
		told(5.5, wire.Tonight{Way: "plan", HeatNeeded: true, ColdestC: c(1.5), ColdestLowC: c(-1), ColdestHighC: c(4), ColdestAt: &at, HeatLastsTo: &lasts, ChargeThen: c(74)}),
		told(6.5, wire.Tonight{Way: "plan", HeatNeeded: true, ColdestC: c(9)}),
		told(9, wire.Tonight{Way: "plan", HeatNeeded: true, ColdestC: c(8)}),
	})
	for h := range 24 {
		x := row(h)
		s.Add(&x)
	}
	s.Close()
	n := s.Night()
	require.NotNil(t, n.Expected)
	assert.Equal(t, hour(5.5), n.Expected.ToldAt)
	assert.InDelta(t, 1.5, *n.Expected.ColdestC, 1e-9)
	assert.InDelta(t, 74, *n.Expected.ChargeColdestPct, 1e-9)
	assert.Equal(t, lasts, *n.Expected.HeatLastsTo)
	require.NotNil(t, n.HeatLastedTo)
	assert.Equal(t, hour(15), *n.HeatLastedTo, "4.5 °C of tank over 2 °C of air is less than 3 K")
}

// Where no heat is needed the coldest expected is that without heat; far from dusk nothing is
// taken for an expectation.
func TestExpectedWithoutHeatAndTooLate(t *testing.T) {
	t.Parallel()
	s := NewSum(byHand())
	s.Told([]record.Event{told(6, wire.Tonight{Way: "plan", UnheatedC: c(9.5), ColdestLowC: c(8), ColdestHighC: c(11)})})
	e := s.Night().Expected
	require.NotNil(t, e)
	assert.False(t, e.HeatNeeded)
	assert.InDelta(t, 9.5, *e.ColdestC, 1e-9)
	late := NewSum(byHand())
	late.Told([]record.Event{told(9, wire.Tonight{Way: "plan", HeatNeeded: true, ColdestC: c(3)})})
	assert.Nil(t, late.Night().Expected)
}

// said is an alert's event with what is in force after it.
func said(h float64, force ...string) record.Event {
	doc := wire.Alert{Active: []wire.Active{}}
	for _, code := range force {
		doc.Active = append(doc.Active, wire.Active{Code: code, Severity: control.Critical})
	}
	body, _ := json.Marshal(doc)
	return record.Event{At: hour(h), Loop: "bench", Kind: record.KindAlert, Body: body}
}

// Held since the morning and until one; too cold from 0:10 to 4:40; a lost probe for twelve
// minutes of it. While nothing is recorded, nothing is counted.
func TestAlertsAndHowLong(t *testing.T) {
	t.Parallel()
	before := said(-3, "held-by-hand")
	within := []record.Event{said(1), said(12+1.0/6, "tunnel-cold"), said(13, "tunnel-cold", "probe-lost"), said(13.2, "tunnel-cold"), said(16 + 2.0/3)}
	for name, x := range map[string]struct {
		missing []int
		cold    float64
	}{"whole": {nil, 4.5}, "gap": {[]int{8, 9, 10, 11, 12, 13, 14}, 5.0 / 3}} {
		s := NewSum(byHand())
		s.Alerts(&before, within)
		for h := range 24 {
			skip := false
			for _, m := range x.missing {
				skip = skip || m == h
			}
			if r := row(h); !skip {
				s.Add(&r)
			}
		}
		s.Close()
		all := s.Night().Alerts
		require.Len(t, all, 3, name)
		assert.Equal(t, "held-by-hand", all[0].Code)
		assert.InDelta(t, 3600, all[0].LastedS, 1e-6, name)
		assert.Equal(t, "tunnel-cold", all[1].Code)
		assert.InDelta(t, x.cold*3600, all[1].LastedS, 1e-6, name)
		assert.Equal(t, "probe-lost", all[2].Code)
		assert.Equal(t, control.Critical, all[2].Severity)
		assert.InDelta(t, map[string]float64{"whole": 720, "gap": 0}[name], all[2].LastedS, 1e-6, name)
	}
}
