package night

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Three days are weighed by their age, by hand: 1, 3/4, 9/16. What was not seen counts
// for nothing, and the sky's clear sun stands in where no sun ever was.
func TestMeanDayByHand(t *testing.T) {
	t.Parallel()
	m := NewMemory(func(int64) Sky { return Sky{Clear: 0.7} })
	const now = int64(2_900_000)
	dark := float32(math.NaN())
	for day, s := range []Slot{{House: 4, Sun: 0.5}, {House: 0, Sun: 0.9}, {House: dark, Sun: 0.1}} {
		m.put(now+5-int64(day+1)*slotsADay, s)
	}
	o := NewOutlook(m, 102)
	var d meanDay
	d.of(o, now)
	assert.InDelta(t, 4/1.75, d.house[place(5)], 1e-12)
	assert.InDelta(t, (0.5+0.75*0.9+0.5625*0.1)/2.3125, d.sun[place(5)], 1e-7)
	assert.InDelta(t, 0.9, d.bright[place(5)], 1e-7)
	assert.Equal(t, place(5), place(5+slotsADay))
	assert.True(t, math.IsNaN(d.house[place(6)]))
	assert.InDelta(t, 0.7, d.bright[place(6)], 0)
	assert.InDelta(t, (0.5+0.75*0.9+0.5625*0.1)/2.3125/6, d.lit(7), 1e-7, "one slot of six")
}
