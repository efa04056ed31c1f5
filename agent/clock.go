package agent

import (
	"context"
	"time"
)

// realClock is the computer's own. Its times carry the monotonic reading, so
// differences never jump.
type realClock struct{}

func (realClock) Now() time.Time { return time.Now() }

func (realClock) WaitUntil(ctx context.Context, t time.Time) error {
	return sleep(ctx, time.Until(t))
}

// fastClock runs from a start in simulated time, speed times as fast.
type fastClock struct {
	start time.Time
	began time.Time
	speed float64
}

func newFastClock(start time.Time, speed float64) *fastClock {
	return &fastClock{start: start, began: time.Now(), speed: speed}
}

func (c *fastClock) Now() time.Time {
	return c.start.Add(time.Duration(float64(time.Since(c.began)) * c.speed))
}

func (c *fastClock) WaitUntil(ctx context.Context, t time.Time) error {
	return sleep(ctx, time.Duration(float64(t.Sub(c.Now()))/c.speed))
}

// leapClock never waits: it is at once where it is asked to be. It belongs to
// one loop.
type leapClock struct{ now time.Time }

func (c *leapClock) Now() time.Time { return c.now }

func (c *leapClock) WaitUntil(ctx context.Context, t time.Time) error {
	if t.After(c.now) {
		c.now = t
	}
	return ctx.Err()
}

func sleep(ctx context.Context, d time.Duration) error {
	if d <= 0 {
		return ctx.Err()
	}
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-timer.C:
		return nil
	}
}
