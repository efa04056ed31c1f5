package picture

import (
	"fmt"
	"sort"
	"time"
)

const (
	// closest is the shortest span with anything to see; below it two readings of the
	// slowest period would be all.
	closest = 2 * time.Minute
	// lines is the longest span drawn as lines: beyond it a day is narrower than its
	// own swing can be followed in.
	lines = 10 * 24 * time.Hour
	// exact is the longest span in which every run is drawn at its own length.
	exact = 48 * time.Hour
	// mostBuckets is how many shares of time fit beside each other.
	mostBuckets = 366
)

// Frame is the span of a picture, in the time zone in which its times are written.
type Frame struct {
	From, To time.Time
	edges    []time.Time // of the buckets in which shares and extremes are summed; nil: none
}

// NewFrame is the span from a time up to another, in the zone of the first.
func NewFrame(from, to time.Time) (Frame, error) {
	if to.Sub(from) < closest {
		return Frame{}, fmt.Errorf("a picture spans at least %v, not %v", closest, to.Sub(from).Round(time.Second))
	}
	f := Frame{From: from, To: to.In(from.Location())}
	switch {
	case f.Daily():
		f.edges = f.days(f.perBucket())
	case f.length() > exact:
		f.edges = f.steps()
	}
	return f, nil
}

func (f Frame) length() time.Duration { return f.To.Sub(f.From) }

// Daily says that the span is drawn by days and not as lines.
func (f Frame) Daily() bool { return f.length() > lines }

// perBucket is how many days a bucket has.
func (f Frame) perBucket() int {
	days := int(f.length()/(24*time.Hour)) + 1
	return (days + mostBuckets - 1) / mostBuckets
}

// days are the midnights round the span, n days apart.
func (f Frame) days(n int) []time.Time {
	y, m, d := f.From.Date()
	var all []time.Time
	for i := 0; ; i += n {
		at := time.Date(y, m, d+i, 0, 0, 0, 0, f.From.Location())
		all = append(all, at)
		if !at.Before(f.To) {
			return all
		}
	}
}

// steps are even buckets of a round length.
func (f Frame) steps() []time.Time {
	step := time.Hour
	for _, s := range []time.Duration{10, 15, 20, 30, 60} {
		if f.length()/(s*time.Minute) <= mostBuckets {
			step = s * time.Minute
			break
		}
	}
	var all []time.Time
	for at := f.From; ; at = at.Add(step) {
		all = append(all, at)
		if !at.Before(f.To) {
			return all
		}
	}
}

// bucket is the number of the bucket that holds t; false outside the span.
func (f Frame) bucket(t time.Time) (int, bool) {
	if len(f.edges) == 0 || t.Before(f.From) || t.After(f.To) {
		return 0, false
	}
	i := sort.Search(len(f.edges), func(i int) bool { return f.edges[i].After(t) }) - 1
	return min(max(i, 0), len(f.edges)-2), true
}

// clip is the part of a span within the frame; false where there is none.
func (f Frame) clip(from, to time.Time) (time.Time, time.Time, bool) {
	if from.Before(f.From) {
		from = f.From
	}
	if to.After(f.To) {
		to = f.To
	}
	return from, to, to.After(from)
}

// share is how far t is into the span, 0 to 1.
func (f Frame) share(t time.Time) float64 { return float64(t.Sub(f.From)) / float64(f.length()) }
