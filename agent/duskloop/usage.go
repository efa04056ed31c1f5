package main

import (
	"errors"
	"fmt"
	"strings"

	"duskloop/sim/fluid"
)

// usage marks an error as a wrong command line: a value that is none, has the wrong
// unit, lies outside its range or contradicts another. Its exit code is 64.
type usage struct{ error }

// Unwrap gives the cause.
func (u usage) Unwrap() error { return u.error }

// misused marks err as a wrong command line; nil stays nil.
func misused(err error) error {
	if err == nil {
		return nil
	}
	return usage{err}
}

// misuse is a wrong command line in words.
func misuse(format string, args ...any) error { return usage{fmt.Errorf(format, args...)} }

// named puts the flag's name before an error about its value.
func named(flag string, err error) error {
	if err != nil {
		return misuse("%s: %w", flag, err)
	}
	return nil
}

// plain says in a grower's words what a model says in its own; the cause is kept.
func plain(err error) error {
	if err == nil || !errors.Is(err, fluid.ErrRange) {
		return err
	}
	return reworded{err}
}

type reworded struct{ error }

// Error is the cause's text in plain words.
func (r reworded) Error() string {
	return strings.ReplaceAll(r.error.Error(), fluid.ErrRange.Error(), "not known there, only for")
}

// Unwrap gives the cause.
func (r reworded) Unwrap() error { return r.error }
