package weather_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Up to six hours are the straight line between the neighbours, light as its share of
// a cloudless sky's; a longer gap is the day before.
func TestSeriesFillsGaps(t *testing.T) {
	t.Parallel()
	lines := strings.SplitAfter(invented(t, "invented-nsrdb-60.csv"), "\n")
	short := append(append([]string{}, lines[:37]...), lines[42:]...) // from 10:30 of the second day five hours
	f := readText(t, strings.Join(short, ""))
	s, whole := seriesOf(t, f), readText(t, strings.Join(lines, ""))
	require.Len(t, s.Notes, 1)
	assert.Equal(t, "line 38: 5 h before this row are the straight line between the neighbours", s.Notes[0].String())
	for k := 34; k < 39; k++ {
		i := whole.Intervals[k]
		ghi, _, _ := means(s, i)
		assert.InEpsilon(t, float64(i.GHI), ghi, 0.05, "a clear day's noon is not cut off, %v", i.Middle())
	}
	a, b := whole.Intervals[33].Air, whole.Intervals[39].Air
	assert.InDelta(t, float64(a+b)/2, float64(s.At(whole.Intervals[36].Middle()).Air), 1e-9)

	long := append(append([]string{}, lines[:33]...), lines[43:]...) // ten hours
	s = seriesOf(t, readText(t, strings.Join(long, "")))
	assert.Equal(t, "line 34: 10 h before this row are the same hours of the day before", s.Notes[0].String())
	assert.InDelta(t, float64(whole.Intervals[12].Air), float64(s.At(whole.Intervals[36].Middle()).Air), 1e-9)
}
