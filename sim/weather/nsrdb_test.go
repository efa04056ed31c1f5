package weather_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Full stamps mean the start or the middle as the sun in the rows says; without direct
// and diffuse light, hours begin there and shorter steps are around them.
func TestFullStampsOfNSRDB(t *testing.T) {
	t.Parallel()
	hourly := strings.ReplaceAll(invented(t, "invented-nsrdb-60.csv"), ",30,", ",0,")
	half, early := invented(t, "invented-nsrdb-30.csv"), halfHours(t, invented(t, "invented-nsrdb-5.csv"))
	for _, r := range []struct{ name, text, first string }{
		{"the hour that begins", hourly, "2019-02-27T00:30:00-05:00"},
		{"half hours around", half, "2019-02-27T00:00:00-05:00"},
		{"half hours that begin", early, "2019-02-27T00:15:00-05:00"},
		{"hours of global light only", strings.Replace(hourly, "DHI,DNI,", "x,y,", 1), "2019-02-27T00:30:00-05:00"},
		{"half hours of global light only", strings.Replace(half, "DHI,DNI,", "x,y,", 1), "2019-02-27T00:00:00-05:00"},
		{"half hours with their middle", quarterPast(half), "2019-02-27T00:15:00-05:00"},
	} {
		f := readText(t, r.text)
		assert.Equal(t, r.first, f.Intervals[0].Middle().Format(time.RFC3339), r.name)
	}
}

// halfHours are the means of six rows of five minutes each, stamped like the first.
func halfHours(t *testing.T, text string) string {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	out := lines[:3:3]
	for n := 3; n+6 <= len(lines); n += 6 {
		var sum [11]float64
		for _, line := range lines[n : n+6] {
			for k, cell := range strings.Split(line, ",") {
				v, err := strconv.ParseFloat(cell, 64)
				require.NoError(t, err)
				sum[k] += v / 6
			}
		}
		stamp := strings.Join(strings.Split(lines[n], ",")[:5], ",")
		out = append(out, fmt.Sprintf("%s,%.1f,%.1f,%.0f,%.0f,%.0f,%.1f", stamp, sum[5], sum[6], sum[7], sum[8], sum[9], sum[10]))
	}
	return strings.Join(out, "\n")
}

// quarterPast is a dark NSRDB file a quarter of an hour later.
func quarterPast(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	for n := 3; n < len(lines); n++ {
		cells := strings.Split(lines[n], ",")
		cells[4] = map[string]string{"0": "15", "30": "45"}[cells[4]]
		lines[n] = strings.Join(cells[:5], ",") + ",1,1,0,0,0,1"
	}
	return strings.Join(lines, "\n")
}
