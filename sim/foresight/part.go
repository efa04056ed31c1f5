package foresight

import (
	"errors"
	"fmt"
)

// ErrPart is wrapped where a stretch of minutes is none.
var ErrPart = errors.New("no such stretch of the winter")

// Part is the minutes from one to before another as a winter of its own, from a start.
func (w *Winter) Part(from, to int, start State) (*Winter, error) {
	if from < 0 || to > len(w.sky) || from >= to {
		return nil, fmt.Errorf("foresight: %w: minutes %d to %d of %d", ErrPart, from, to, len(w.sky))
	}
	part := *w
	part.sky = w.sky[from:to]
	part.plant.Start = start
	return &part, nil
}
