package page

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors/quantity"
)

// follow is what is told of a place that goes by a function of the minutes, read every ten
// seconds for so long.
func follow(ta taste, minutes float64, c func(minute float64) float64) string {
	var p past
	for i := range int(minutes*6) + 1 {
		p = p.add(now.Add(time.Duration(i)*10*time.Second), c(float64(i)/6))
	}
	return strings.ReplaceAll(p.words(ta), "\u00a0", " ")
}

// A trend is what came in the last ten minutes, however it went before; where a place swings
// with the pump its reach is told, and noise is steady.
func TestTrend(t *testing.T) {
	t.Parallel()
	si, us := taste{zone: zone}, taste{units: quantity.US}
	down := func(m float64) float64 { return 10 - 0.1*m }
	assert.Empty(t, follow(si, 8, down))
	assert.Equal(t, "down 1.0 K in 10 min", follow(si, 25, down))
	assert.Equal(t, "down 1.8 °F in 10 min", follow(us, 25, down))
	assert.Equal(t, "up 2.0 K in 10 min", follow(si, 40, func(m float64) float64 { return max(5, 5+0.2*(m-30)) }))
	// The tunnel as a run of three minutes in twenty makes it: heated to 14 °C, then back.
	cycling := func(m float64) float64 {
		if m = math.Mod(m, 20); m < 3 {
			return 5.5 + 8.5*m/3
		}
		return 5.5 + 8.5*math.Exp(-(m-3)/4)
	}
	assert.Equal(t, "swings 42 to 57 °F", follow(us, 60+9.8, func(m float64) float64 { return cycling(m - 0.3) }))
	assert.Regexp(t, `^down \d`, follow(us, 60+14.5, cycling), "it only fell in these")
	assert.Equal(t, "steady", follow(si, 25, func(m float64) float64 { return 10 + 0.06*math.Mod(math.Round(6*m), 2) }))
	assert.Regexp(t, `^swings`, follow(si, 25, func(m float64) float64 { return 10 + math.Mod(math.Round(6*m), 2) }), "within a minute too")
}

// What a trend keeps is bounded, begins anew after silence and a clock set back, and is
// never changed once handed out.
func TestTrendKeepsTenMinutes(t *testing.T) {
	t.Parallel()
	var p past
	for i := range 400 {
		p = p.add(now.Add(time.Duration(i)*10*time.Second), float64(i))
		assert.LessOrEqual(t, len(p.minutes), 12)
	}
	before := p.minutes[len(p.minutes)-1]
	_ = p.add(p.at.Add(time.Second), -100)
	assert.Equal(t, before, p.minutes[len(p.minutes)-1])
	assert.Len(t, p.add(now.Add(30*time.Hour), 3).minutes, 1, "long silent")
	assert.Len(t, p.add(now.Add(-time.Hour), 3).minutes, 1, "the clock was set back")
}

// The age of a reading always stands beside its trend.
func TestAgeStandsBesideTheTrend(t *testing.T) {
	t.Parallel()
	m, ta := moment(now), taste{zone: zone}
	var p past
	for i := range 80 {
		p = p.add(now.Add(time.Duration(i)*10*time.Second), 6.6)
	}
	rows := m.rows(map[string]past{"tunnel": p}, ta)
	assert.Equal(t, "steady; read just now", rows[0].Trend)
	assert.Equal(t, "read 5\u00a0min ago", rows[1].Trend)
	assert.Equal(t, "no answer", rows[2].Trend)
	m.Places[0].Age = 42 * time.Second
	assert.Equal(t, "steady; read 42\u00a0s ago", m.rows(map[string]past{"tunnel": p}, ta)[0].Trend)
}
