package agent

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// odd is the demo with a threshold that its printed digits do not hold.
func odd(t *testing.T) *config.File {
	t.Helper()
	f, _, err := config.Demo().With(map[string]string{"start_difference": "7.7654321 K"})
	require.NoError(t, err)
	return f
}

// What was changed together is put back together, to the last digit of the file's own value
// and in the words of an earlier change; it is recorded like any change; once more undoes it.
func TestBackPutsBackAllThatWasChangedLast(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l, stop := standing(t, odd(t), m)
	require.True(t, submitted(t, l, `{"set":{"fan_margin":"2.345 K"}}`).Accepted)
	require.True(t, submitted(t, l, `{"set":{"fan_margin":"3 K","start_difference":"18 °F"}}`).Accepted)
	a := submitted(t, l, `{"id":"b","back":true}`)
	require.True(t, a.Accepted, a.Reason)
	assert.Equal(t, "b", a.ID)
	assert.Equal(t, "put back: loop.bench.carry.fan_margin from 5.4 °F to 4.2 °F; loop.bench.carry.start_difference from 18 °F to 14 °F", a.Reason)
	require.Len(t, a.Changes, 2)
	again := submitted(t, l, `{"back":true}`)
	require.True(t, again.Accepted, again.Reason)
	assert.Equal(t, "18 °F", again.Changes[1].To)
	require.True(t, submitted(t, l, `{"back":true}`).Accepted)
	stop()
	assert.InDelta(t, 7.7654321, float64(l.settings.Carry.Start), 1e-12)
	assert.InDelta(t, 2.345, float64(l.settings.Carry.FanMargin), 1e-12)
	assert.Equal(t, map[string]override{"loop.bench.carry.fan_margin": {File: l.overrides["loop.bench.carry.fan_margin"].File, Now: "2.345 K"}}, l.overrides, "the file's own value is no change")
	assert.Equal(t, 1+2+3*2, m.count(record.KindSetting))
	var last wire.Change
	for _, e := range m.events {
		if e.Kind == record.KindSetting {
			require.NoError(t, json.Unmarshal(e.Body, &last))
		}
	}
	assert.Equal(t, "test", last.Who)
	assert.Equal(t, &wire.SettingChange{Key: "loop.bench.carry.start_difference", From: "18 °F", To: "14 °F"}, last.Setting)
}

func TestBackRefusesWhereNothingWasChanged(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l, stop := standing(t, config.Demo(), m)
	a := submitted(t, l, `{"back":true}`)
	assert.False(t, a.Accepted)
	assert.Contains(t, a.Reason, "no setting was ever changed while running")
	require.False(t, submitted(t, l, `{"set":{"start_difference":"600 K"}}`).Accepted)
	assert.Contains(t, submitted(t, l, `{"back":true}`).Reason, "no setting was ever changed", "what was refused was no change")
	stop()
	assert.Zero(t, m.count(record.KindSetting))
	assert.Empty(t, m.kept[lastKey+"bench"])

	m.kept["settings/bench"] = encodedOverride(t, "loop.bench.carry.fan_margin", "2 K")
	l, _ = standing(t, config.Demo(), m)
	assert.Contains(t, submitted(t, l, `{"back":true}`).Reason, "is not known")
}

// encodedOverride is one as an older daemon kept it.
func encodedOverride(t *testing.T, key, now string) string {
	t.Helper()
	b, err := json.Marshal(map[string]override{key: {File: live(config.Demo())[key], Now: now}})
	require.NoError(t, err)
	return string(b)
}

// After a restart it is still known. Where a hand has set one of the keys to something else in
// the file, all of it is refused, by that key; where the file has another key otherwise, or
// says what was changed to, it is put back.
func TestBackAfterTheFileWasEdited(t *testing.T) {
	t.Parallel()
	edited := func(wanted map[string]string) *config.File {
		f, _, err := config.Demo().With(wanted)
		require.NoError(t, err)
		return f
	}
	rows := []struct {
		name     string
		file     *config.File
		accepted bool
		reason   string
	}{
		{"as it was", config.Demo(), true, "carry.start_difference from 18 °F to 14 °F"},
		{"another key", edited(map[string]string{"stop_difference": "2 K"}), true, "carry.start_difference from 18 °F to 14 °F"},
		{"to the same", edited(map[string]string{"start_difference": "10 K"}), true, "carry.start_difference from 18 °F to 14 °F"},
		{"to something else", edited(map[string]string{"start_difference": "12 K"}), false, "loop.bench.carry.start_difference is 21.6 °F by now, and not 18 °F as it was last changed to: it was set in the greenhouse file since"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			m := newMemory()
			l, stop := standing(t, config.Demo(), m)
			require.True(t, submitted(t, l, `{"set":{"fan_margin":"2 K","start_difference":"18 °F"}}`).Accepted)
			stop()
			l, stop = standing(t, row.file, m)
			a := submitted(t, l, `{"back":true}`)
			stop()
			assert.Equal(t, row.accepted, a.Accepted, a.Reason)
			assert.Contains(t, a.Reason, row.reason)
			if !row.accepted {
				assert.InDelta(t, 2, float64(l.settings.Carry.FanMargin), 1e-9, "all or nothing")
				assert.NotContains(t, a.Reason, "\n")
				return
			}
			assert.InDelta(t, 14*5.0/9, float64(l.settings.Carry.Start), 1e-9)
		})
	}
}

// What is put back is held to the same rules: a file in which it no longer fits refuses it.
func TestBackIsValidated(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l, stop := standing(t, config.Demo(), m)
	require.True(t, submitted(t, l, `{"set":{"start_difference":"18 K"}}`).Accepted)
	stop()
	far, _, err := config.Demo().With(map[string]string{"start_difference": "18 K", "stop_difference": "16 K"})
	require.NoError(t, err)
	l, stop = standing(t, far, m)
	a := submitted(t, l, `{"back":true}`)
	stop()
	assert.False(t, a.Accepted)
	assert.Contains(t, a.Reason, "not below start_difference")
	assert.InDelta(t, 18, float64(l.settings.Carry.Start), 1e-9)
}

// A damaged note of the last change keeps nothing from running.
func TestBackOfADamagedRecord(t *testing.T) {
	t.Parallel()
	m := newMemory()
	m.kept[lastKey+"bench"] = "{"
	l, _ := standing(t, config.Demo(), m)
	assert.False(t, submitted(t, l, `{"back":true}`).Accepted)
	assert.True(t, submitted(t, l, `{"set":{"start_difference":"18 K"}}`).Accepted)
	assert.True(t, submitted(t, l, `{"back":true}`).Accepted)
}
