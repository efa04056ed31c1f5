package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// What is answered to who asks for a forced test.
func TestTestWords(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 1, 15, 20, 0, 0, 0, time.UTC)
	planned := night.Advice{Way: night.Planned, Cold: true, Story: night.Story{Coldest: 7, ColdestAt: at.Add(10 * time.Hour)}}
	cold := planned
	cold.Story.Coldest = 2
	for name, c := range map[string]struct {
		x    TestAsked
		u    quantity.Units
		says []string
		not  []string
	}{
		"all well": {TestAsked{For: 36 * time.Hour, Night: &planned}, quantity.SI,
			[]string{"the tank is 12 K over the tunnel", "To end it: duskloop hand end"}, []string{"already", "Nothing can run", "Tonight"}},
		"in °F": {TestAsked{For: 36 * time.Hour, Night: &cold}, quantity.US,
			[]string{"the tank is 21.6 °F over the tunnel", "about 35.6 °F at 06:00, and the crop's minimum is 41 °F"}, []string{" K ", "°C"}},
		"after a cool try, which counts no more": {TestAsked{For: 36 * time.Hour, Night: &planned, Before: Hand{Test: time.Hour, Cooled: true}}, quantity.SI,
			[]string{"12 K over", "was asked for already and waits"}, nil},
		"under way": {TestAsked{For: 36 * time.Hour, Night: &cold, Before: Hand{Test: time.Hour, Tested: time.Hour}}, quantity.SI,
			[]string{"under way already and goes on", "end it, if the crop needs that heat"}, []string{"It begins"}},
		"too cold": {TestAsked{For: 36 * time.Hour, Night: &cold}, quantity.SI,
			[]string{"Tonight is judged too cold for it: about 2 °C at 06:00, and the crop's minimum is 5 °C", "waits for a night with heat to spare, but in the last 12 h"}, nil},
		"too cold and no patience": {TestAsked{For: 6 * time.Hour, Night: &cold}, quantity.SI,
			[]string{"begins all the same, with heat that the crop may need"}, []string{"it waits for a night"}},
		"heat that does not last": {TestAsked{For: 36 * time.Hour, Night: &night.Advice{Way: night.Levelled, Level: 3}}, quantity.SI,
			[]string{"too cold for it: heat and battery hold about 3 °C"}, nil},
		"no plan": {TestAsked{For: 36 * time.Hour, Night: &night.Advice{}}, quantity.SI,
			[]string{"Nobody plans tonight"}, []string{"judged too cold"}},
		"held off": {TestAsked{For: 36 * time.Hour, Night: &planned, Barred: Barred{By: BarredByHold, Left: 2 * time.Hour}}, quantity.SI,
			[]string{"Nothing can run now: held off by hand until 22:00. It waits until then."}, nil},
		"watched for longer": {TestAsked{For: 36 * time.Hour, Night: &planned, Barred: Barred{By: BarredByWatch, Left: 72 * time.Hour}}, quantity.SI,
			[]string{"watch only until Sun 18 Jan 20:00, which is longer than the test may wait"}, []string{"It waits until then"}},
		"stopped": {TestAsked{For: 36 * time.Hour, Night: &planned, Barred: Barred{By: BarredByStop, Why: LevelIsLow}}, quantity.SI,
			[]string{"Nothing can run now: " + LevelIsLow.Words() + ". See to that first"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := bench()
			s.Units, c.x.At, c.x.Zone = c.u, at, time.UTC
			words := s.TestWords(&c.x)
			for _, x := range c.says {
				assert.Contains(t, words, x)
			}
			for _, x := range c.not {
				assert.NotContains(t, words, x)
			}
			assert.NotContains(t, words, "  ")
		})
	}
}
