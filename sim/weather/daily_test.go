package weather_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// The file's extremes come back from the generator, day by day, wherever the place
// lies; before and after them it goes on by the month.
func TestDaysOfAFileAreKept(t *testing.T) {
	t.Parallel()
	first, days, err := weather.ReadDays(strings.NewReader(invented(t, "invented-daily.csv")))
	require.NoError(t, err)
	require.Len(t, days, 14)
	assert.Equal(t, weather.Extremes{Low: -4.1, High: 8}, days[0])
	for _, longitude := range []float64{-170, -78.6, 0, 170} {
		c := climate()
		c.Longitude = quantity.Angle(longitude)
		g := weather.New(c, bulb{}, 4)
		g.Daily(first, days)
		midnight := time.Date(2026, 2, 1, 0, 0, 0, 0, time.UTC).Add(-time.Duration(longitude * 240 * float64(time.Second)))
		for k, want := range days {
			low, high := 99.0, -99.0
			for m := 6 * 60; m < 15*60; m++ { // from before the minimum to after the maximum, solar time
				air := float64(g.At(midnight.AddDate(0, 0, k).Add(time.Duration(m) * time.Minute)).Air)
				low, high = math.Min(low, air), math.Max(high, air)
			}
			require.InDelta(t, float64(want.Low), low, 0.05, "longitude %g day %d", longitude, k)
			require.InDelta(t, float64(want.High), high, 0.05, "longitude %g day %d", longitude, k)
		}
	}
}

func TestDaysThatCannotBe(t *testing.T) {
	t.Parallel()
	for text, says := range map[string]string{
		"date,min_c,max_c\n2026-02-01,1,2\n2026-02-03,1,2\n": "line 3: 2026-02-03 does not follow the day before",
		"date,min_c,max_c\n2026-02-01,3,2\n":                 "line 2: minimum 3 and maximum 2",
		"date,min_c,max_c\n1 Feb,1,2\n":                      `line 2: date "1 Feb"`,
		"date,min_c,max_c\n2026-02-01,cold,2\n":              `line 2: "cold" is no number`,
		"date,min_c\n2026-02-01,1\n":                         `line 1: no column "max_c"`,
		"date,min_c,max_c\n":                                 "no line of it",
	} {
		_, _, err := weather.ReadDays(strings.NewReader(text))
		assert.ErrorContains(t, err, says)
	}
	_, _, err := weather.ReadDays(strings.NewReader(invented(t, "invented-plain.csv")))
	assert.ErrorIs(t, err, weather.ErrNoDays)
}

// Skies come in spells: a day's sky is that of the day before more often than chance
// would have it.
func TestSkiesComeInSpells(t *testing.T) {
	t.Parallel()
	same, n, dull := 0, 0, 0
	for seed := range uint64(30) {
		g := weather.New(climate(), bulb{}, seed)
		before := false
		for day := range 60 {
			noon := g.At(january.AddDate(0, 0, day).Add(12 * time.Hour))
			now := noon.Cloud > 0.9
			if day > 0 {
				n++
				if now == before {
					same++
				}
			}
			if now {
				dull++
			}
			before = now
		}
	}
	p := float64(dull) / float64(n)
	chance := p*p + (1-p)*(1-p)
	// A day repeats the one before with probability 0.5, else is drawn afresh.
	assert.InDelta(t, 0.5+0.5*chance, float64(same)/float64(n), 0.05)
}
