package season

import (
	"math"
	"slices"
	"time"

	"duskloop/sensors/quantity"
)

// Score is how a season went under a policy. Degree-hours and hours are integrals over
// every simulated minute of the tunnel's air; a night's minimum is that from noon to
// noon.
type Score struct {
	Policy  string  `json:"policy"`
	Below   float64 `json:"degree_hours_below_min"`
	Below2  float64 `json:"degree_hours_below_2c"`
	Squared float64 `json:"squared_degree_hours"` // K²h below the crop's minimum
	// MeanMin and FifthMin are the mean of the nights' minima and their 5th percentile.
	MeanMin  float64 `json:"mean_night_min_c"`
	FifthMin float64 `json:"p5_night_min_c"`
	Frost    float64 `json:"hours_below_0c"`
	Battery  float64 `json:"battery_kwh"` // drawn by pump and fans
	Starts   float64 `json:"starts_per_day"`
	// Captured is the share of what foresight removes of squared degree-hours; nil where
	// that is less than Worthwhile.
	Captured *float64 `json:"captured"`
	// Draw numbers a plan that believes wrong figures, from 1.
	Draw int `json:"draw,omitempty"`
}

// Worthwhile is how many squared degree-hours foresight must remove for a share of
// them to say anything, K²h.
const Worthwhile = 5.0

// Capture sets Captured against the season without heat and with foresight.
func (s *Score) Capture(off, foresight float64) {
	s.Captured = nil
	if off-foresight >= Worthwhile {
		share := (off - s.Squared) / (off - foresight)
		s.Captured = &share
	}
}

// tally gathers a score, minute by minute.
type tally struct {
	minimum quantity.Celsius
	score   Score
	night   float64 // minimum since noon
	nights  []float64
	noon    time.Time // the next
}

// newTally counts nights from noon of a clock that is so far from UTC.
func newTally(minimum quantity.Celsius, start time.Time, offset time.Duration) *tally {
	noon := start.Add(offset).Truncate(24 * time.Hour).Add(12*time.Hour - offset)
	for !noon.After(start) {
		noon = noon.Add(24 * time.Hour)
	}
	return &tally{minimum: minimum, night: math.Inf(1), noon: noon}
}

// add books dt up to now at an air temperature.
func (t *tally) add(now time.Time, dt time.Duration, air quantity.Celsius) {
	h := dt.Hours()
	below := max(0, float64(t.minimum-air))
	t.score.Below += h * below
	t.score.Squared += h * below * below
	t.score.Below2 += h * max(0, float64(2-air))
	if air < 0 {
		t.score.Frost += h
	}
	t.night = min(t.night, float64(air))
	if !now.Before(t.noon) {
		t.nights = append(t.nights, t.night)
		t.night, t.noon = math.Inf(1), t.noon.Add(24*time.Hour)
	}
}

// end gives the score. A first night that begins and a last that ends at midnight
// count as what they are.
func (t *tally) end() Score {
	if !math.IsInf(t.night, 1) {
		t.nights = append(t.nights, t.night)
	}
	sum := 0.0
	for _, n := range t.nights {
		sum += n
	}
	t.score.MeanMin = sum / float64(len(t.nights))
	t.score.FifthMin = Quantile(t.nights, 0.05)
	return t.score
}

// Quantile of figures in any order, by the straight line between order statistics (type 7
// of Hyndman & Fan, American Statistician 50, 1996, 361); 0 of none.
func Quantile(of []float64, p float64) float64 {
	if len(of) == 0 {
		return 0
	}
	s := slices.Sorted(slices.Values(of))
	at := p * float64(len(s)-1)
	low := int(at)
	high := min(low+1, len(s)-1)
	return s[low] + (at-float64(low))*(s[high]-s[low])
}
