package picture

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/agent/internal/svgtest"
	"duskloop/sensors/quantity"
)

// anySheet is a random stretch of anything: any span, place, unit, gap, limit and
// number of lanes.
func anySheet(t *rapid.T) *Sheet {
	zone := time.FixedZone("", rapid.IntRange(-12*4, 14*4).Draw(t, "quarters")*900)
	from := time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "from"), 0).In(zone)
	long := time.Duration(math.Exp(rapid.Float64Range(math.Log(120), math.Log(10*365*86400)).Draw(t, "log span")) * 1e9)
	f, err := NewFrame(from, from.Add(max(long, closest)))
	require.NoError(t, err)
	s := &Sheet{
		Frame: f, Place: rapid.StringMatching(`[A-Za-z<>&"' äñ大]{0,60}`).Draw(t, "place"), Loop: "bench",
		Simulated: rapid.Bool().Draw(t, "simulated"), Narrow: rapid.Bool().Draw(t, "narrow"), Units: rapid.SampledFrom([]quantity.Units{quantity.SI, quantity.US}).Draw(t, "units"),
		Tank: anyTrace(t, f, "tank", 60), Charge: anyTrace(t, f, "battery", 0.4), Hours: NewField(f, "pump"), Silent: NewLane(f, "no record", ""),
		NightsKnown: true, Reserve: NewTrace(f, "reserve"),
	}
	for _, name := range []string{"tunnel", "greenhouse", "outdoors", "bed"} {
		s.Air = append(s.Air, anyTrace(t, f, name, 15))
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "limits") {
		s.Minimum = append(s.Minimum, Step{f.From.Add(f.length() * time.Duration(i) / 4), rapid.Float64Range(-40, 60).Draw(t, "limit")})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "reserves") {
		s.Reserve.Add(f.From.Add(f.length()*time.Duration(i)/2), rapid.Float64Range(0, 1).Draw(t, "reserve"), 0)
	}
	for i := range rapid.IntRange(0, 12).Draw(t, "lanes") {
		l := NewLane(f, "carrying", strings.Repeat("the tank is warmer than the tunnel ", i%4))
		for k := range 20 {
			at := f.From.Add(f.length() * time.Duration(k) / 20)
			l.Hold(at, at.Add(f.length()/time.Duration(30+40*i)))
			s.Hours.Hold(at, at.Add(f.length()/90))
		}
		s.Why = append(s.Why, l)
	}
	for at := f.From.Add(-6 * time.Hour); at.Before(f.To); at = at.Add(24 * time.Hour) {
		s.Nights = append(s.Nights, Night{at, at.Add(13 * time.Hour)})
	}
	return s
}

// anyTrace swings about nothing, sometimes with one value only, or with none.
func anyTrace(t *rapid.T, f Frame, name string, size float64) *Trace {
	tr := NewTrace(f, name)
	n := rapid.SampledFrom([]int{0, 1, 2, 50, 700}).Draw(t, name)
	mean := rapid.Float64Range(-size, size).Draw(t, name+" mean")
	end := rapid.SampledFrom([]float64{0.4, 1}).Draw(t, name+" end")
	for i := range n {
		if i%37 == 36 {
			tr.Break()
		}
		at := f.From.Add(time.Duration(float64(f.length()) * end * float64(i) / float64(max(n-1, 1))))
		tr.Add(at, mean+size*math.Sin(float64(i)), size/4)
	}
	return tr
}

// Whatever the span: well-formed, nothing outside the picture, no text on another,
// no letter below nine pixels on a telephone 390 pixels wide.
func TestNothingOverlapsOrSticksOut(t *testing.T) {
	t.Parallel()
	drawn := 0
	rapid.Check(t, func(t *rapid.T) {
		s := anySheet(t)
		if !s.any() {
			return
		}
		drawn++
		e := drawnBack(t, s)
		tidy(t, e)
	})
	assert.Greater(t, drawn, 20)
}

func checkPaths(t failer, e *svgtest.Element, view svgtest.Box) {
	t.Helper()
	e.Walk(func(x *svgtest.Element) {
		if x.Name != "path" {
			return
		}
		for _, run := range path(t, x) {
			for _, p := range run {
				inside := svgtest.Box{Left: p.X, Right: p.X, Top: p.Y, Bottom: p.Y}.Within(view)
				require.True(t, inside, "%s has %v, outside", x.Attr["class"], p)
				require.False(t, math.IsNaN(p.X) || math.IsNaN(p.Y))
			}
		}
	})
}

// The worst of long spans stay small: a probe that fails every other minute, a pump
// that cycles all day and all night, twelve reasons every day.
func TestLongSpansStaySmall(t *testing.T) {
	t.Parallel()
	for _, days := range []float64{2, 10, 60, 212, 360, 3000} {
		t.Run(fmt.Sprint(days), func(t *testing.T) {
			t.Parallel()
			var b bytes.Buffer
			require.NoError(t, worst(winter(t, 24*days)).Write(&b))
			t.Logf("%d kB", b.Len()/1000)
			assert.Less(t, b.Len(), 300_000)
		})
	}
}

func worst(f Frame) *Sheet {
	s := &Sheet{Frame: f, Loop: "bench", Tank: NewTrace(f, "tank"), Charge: NewTrace(f, "battery"), Hours: NewField(f, "pump")}
	for _, name := range []string{"tunnel", "greenhouse", "outdoors", "bed"} {
		s.Air = append(s.Air, NewTrace(f, name))
	}
	for range 12 {
		s.Why = append(s.Why, NewLane(f, "carrying", "the tank is warmer"))
	}
	n, step := 0, max(10*time.Second, f.length()/300_000)
	for at := f.From; !at.After(f.To); at = at.Add(step) {
		v := swing(at, 12, 8) + math.Sin(float64(n))
		for i, tr := range s.traces() {
			if (n+i)%12 == 0 {
				tr.Break()
			}
			tr.Add(at, v, 1)
		}
		if n%42 < 20 {
			s.Why[n/42%12].Hold(at, at.Add(step))
			s.Hours.Hold(at, at.Add(step))
		}
		n++
	}
	return s
}

// What was held is what the lane says, to the second, drawn or not.
func TestLanesKeepTheirTime(t *testing.T) {
	t.Parallel()
	for _, hours := range []float64{2, 100, 1000} {
		f := winter(t, hours)
		l := NewLane(f, "pump", "")
		for at := f.From.Add(-time.Hour); at.Before(f.To.Add(time.Hour)); at = at.Add(20 * time.Minute) {
			l.Hold(at, at.Add(5*time.Minute))
		}
		assert.InDelta(t, f.length().Hours()/4, l.total.Hours(), 0.1)
		if l.held != nil {
			var sum time.Duration
			for _, d := range l.held {
				sum += d
			}
			assert.Equal(t, l.total, sum)
		}
	}
}

// The hours of a field are told by the clock from noon on.
func TestFieldTellsTheHour(t *testing.T) {
	t.Parallel()
	f := winter(t, 24*30)
	x := NewField(f, "pump")
	at := time.Date(2026, 1, 20, 1, 15, 0, 0, f.From.Location())
	x.Hold(at, at.Add(45*time.Minute))
	c := 5 // columns begin at noons: Jan 14, 15, 16, 17, 18, 19
	assert.Equal(t, 15*time.Minute, x.ran[c][26], "half past thirteen hours after noon has begun")
	assert.Equal(t, 30*time.Minute, x.ran[c][27])
}

func TestNothingToDrawAndTooShort(t *testing.T) {
	t.Parallel()
	f := winter(t, 24)
	require.ErrorIs(t, (&Sheet{Frame: f, Loop: "bench", Tank: NewTrace(f, "tank")}).Write(&bytes.Buffer{}), ErrNothing)
	_, err := NewFrame(f.From, f.From.Add(time.Minute))
	require.ErrorContains(t, err, "at least 2m0s")
}
