package senml

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// firstAbsolute is the smallest time that counts from 1970; smaller ones count
// from now (§4.5.3).
const firstAbsolute = 1 << 28 // s

// Seconds is t as SenML writes it, to the millisecond. It is false before
// 1978-07-04 21:24:16 UTC, which SenML cannot say: a smaller number would count
// from the time of reading (§4.5.3). A clock that was never set is before that.
func Seconds(t time.Time) (float64, bool) {
	ms := t.UnixMilli()
	return float64(ms) / 1000, ms >= firstAbsolute*1000
}

// Resolve applies the base fields, turns relative times into absolute ones by
// now, and sorts by time (§4.6). Records that only carry base fields drop out.
// It returns an error for a pack that Check refuses, and for times before 1978,
// which resolved records cannot say.
func (p Pack) Resolve(now time.Time) (Pack, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	var (
		b        bases
		resolved Pack
	)
	for i := range p {
		r := p[i]
		if err := b.take(&r, i == 0); err != nil {
			return nil, fmt.Errorf("%w: record %d: %w", ErrPack, i+1, err)
		}
		if r.onlyBase() && b.value == nil && b.sum == nil {
			continue
		}
		r = b.apply(r, now)
		if r.Time < firstAbsolute || math.IsInf(r.Time, 0) {
			return nil, fmt.Errorf("%w: record %d: time %v cannot be said in absolute terms", ErrPack, i+1, r.Time)
		}
		resolved = append(resolved, r)
	}
	slices.SortStableFunc(resolved, func(x, y Record) int {
		switch {
		case x.Time < y.Time:
			return -1
		case x.Time > y.Time:
			return 1
		}
		return 0
	})
	return resolved, nil
}

func (b *bases) apply(r Record, now time.Time) Record {
	r.BaseName, r.BaseTime, r.BaseUnit, r.BaseValue, r.BaseSum, r.BaseVersion = nil, nil, nil, nil, nil, nil
	r.Name = b.name + r.Name
	if r.Unit == "" {
		r.Unit = b.unit
	}
	if b.value != nil && (r.Value != nil || r.values() == 0) {
		r.Value = plus(b.value, r.Value)
	}
	if b.sum != nil {
		r.Sum = plus(b.sum, r.Sum)
	}
	r.Time += b.time
	if r.Time < firstAbsolute {
		// A millisecond is finer than any meaning of "now", and keeps the sum of
		// two floating-point times free of stray digits.
		r.Time = math.Round(1000*(r.Time+float64(now.UnixMilli())/1000)) / 1000
	}
	if b.version != version {
		r.BaseVersion = &b.version // the one base field that resolved records keep (§4.6)
	}
	return r
}

func plus(base, v *float64) *float64 {
	sum := *base
	if v != nil {
		sum += *v
	}
	return &sum
}
