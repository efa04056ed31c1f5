package agent

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// two nights as they stand: 4 and 5 °C at the coldest, 10 K²h and 100 Wh together; off 0.5 K.
func two(then ...wire.PreviewNight) *wire.Preview {
	off := 0.5
	p := &wire.Preview{OffK: &off, Nights: then}
	for i := range p.Nights {
		n := &p.Nights[i]
		n.AgainC, n.AgainK2h, n.AgainWh = 4+float64(i), 5, 50
	}
	return p
}

func TestPreviewSaysWhatTheChangeWouldHaveDone(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		p    *wire.Preview
		u    quantity.Units
		want string
	}{
		{"warmer", two(wire.PreviewNight{ThenC: 5.5, ThenK2h: 1, ThenWh: 60}, wire.PreviewNight{ThenC: 6, ThenK2h: 1, ThenWh: 60}), quantity.SI,
			"In the last 2 nights this would have made a night's coldest tunnel air up to 1.5 K warmer (the coldest of all 5.5 °C in place of 4 °C) and taken 20 Wh more from the battery (120 in place of 100); below the crop's minimum 2 K²h in place of 10. The replay is off the record by 0.5 K: do not believe finer differences."},
		{"colder, in US units", two(wire.PreviewNight{ThenC: 3, ThenK2h: 10, ThenWh: 30}, wire.PreviewNight{ThenC: 5, ThenK2h: 10, ThenWh: 30}), quantity.US,
			"In the last 2 nights this would have made a night's coldest tunnel air up to 1.8 °F colder (the coldest of all 37.4 °F in place of 39.2 °F) and spared 40 Wh of the battery (60 in place of 100); below the crop's minimum 65 °F²h in place of 32. The replay is off the record by 0.9 °F: do not believe finer differences."},
		{"within the replay's error", two(wire.PreviewNight{ThenC: 4.4, ThenK2h: 5, ThenWh: 50}), quantity.SI,
			"In the last whole night this would have changed no night's coldest tunnel air by more than the replay can tell and taken as much from the battery (50 Wh); below the crop's minimum 5 K²h in place of 5. The replay is off the record by 0.5 K: do not believe finer differences."},
		{"none", two(), quantity.SI, "No night is recorded that could be lived again: what this would have done is not known."},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, row.want, previewWords(row.p, row.u))
		})
	}
	p := two(wire.PreviewNight{ThenC: 4, ThenWh: 50}, wire.PreviewNight{ThenC: 5, ThenWh: 50})
	p.LeftOut = []wire.LeftOut{{Night: "2026-01-14", Why: "a"}, {Night: "2026-01-15", Why: "a"}, {Night: "2026-01-16", Why: "b"}}
	for i := range p.Nights {
		p.Nights[i].AgainK2h = 0
	}
	assert.Contains(t, previewWords(p, quantity.SI), "In 2 of the last 5 nights")
	assert.Contains(t, previewWords(p, quantity.SI), "the crop's minimum was kept either way")
	assert.Equal(t, []string{"Left out: 2026-01-14, 2026-01-15: a.", "Left out: 2026-01-16: b."}, leftOutWords(p))
}
