package main

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"duskloop/sim/season"
)

// atOnce is how many policies are flown at the same time.
const atOnce = 2

// flyAll flies the policies, and plans that believe wrong figures, two at a time; then
// foresight, which begins from the best of them.
func flyAll(s *session, b season.Bench, names []string, doubts int) ([]season.Flight, []season.Score, error) {
	flights, doubted := make([]season.Flight, len(names)), make([]season.Score, doubts)
	var telling sync.Mutex
	tell := func(format string, args ...any) {
		telling.Lock()
		defer telling.Unlock()
		fmt.Fprintf(s.err, format, args...)
	}
	g, ctx := errgroup.WithContext(s)
	g.SetLimit(atOnce)
	for i, name := range names {
		if name == season.PolicyForesight {
			continue
		}
		g.Go(func() (err error) {
			if err = context.Cause(ctx); err == nil {
				flights[i], err = b.Fly(name)
				tell("flown: %s\n", name)
			}
			return err
		})
	}
	for i := range doubts {
		g.Go(func() (err error) {
			if err = context.Cause(ctx); err == nil {
				doubted[i], err = b.Doubt(i + 1)
				tell("flown: %s with wrong figures, %d\n", season.PolicyPlan, i+1)
			}
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, nil, err
	}
	if i := slices.Index(names, season.PolicyForesight); i >= 0 {
		var err error
		if flights[i], err = b.Foresee(flights); err != nil {
			return nil, nil, err
		}
	}
	share(flights, doubted)
	return flights, doubted, nil
}

// share fills in what each captured, where off and foresight were flown.
func share(flights []season.Flight, doubted []season.Score) {
	of := func(policy string) *season.Score {
		for i := range flights {
			if flights[i].Score.Policy == policy {
				return &flights[i].Score
			}
		}
		return nil
	}
	off, best := of(season.PolicyOff), of(season.PolicyForesight)
	if off == nil || best == nil {
		return
	}
	without, with := off.Squared, best.Squared
	for i := range flights {
		flights[i].Score.Capture(without, with)
	}
	for i := range doubted {
		doubted[i].Capture(without, with)
	}
}
