package main

import (
	"errors"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/record"
)

// recorded names a greenhouse and the record of it.
type recorded struct {
	greenhouseFile
	Simulated bool `help:"The demo's record instead of the real one."`
}

// errNothing is a record without readings.
var errNothing = errors.New("nothing is recorded yet")

// open reads the file and opens the record, which is the caller's to close, with how far it
// goes.
func (c *recorded) open(s *session) (*config.File, *record.Reader, record.Extent, error) {
	f, err := c.file()
	if err != nil {
		return nil, nil, record.Extent{}, err
	}
	r, err := openRecord(s, c.Simulated)
	if err != nil {
		return nil, nil, record.Extent{}, err
	}
	e, some, err := r.Extent(s, time.Unix(0, 0), time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC))
	if err == nil && !some {
		err = errNothing
	}
	if err != nil {
		return nil, nil, e, errors.Join(err, r.Close())
	}
	return f, r, e, nil
}

// file is the greenhouse of the record: without it neither crop, sun nor twin is known.
func (c *recorded) file() (*config.File, error) {
	if c.Simulated {
		return c.orDemo()
	}
	f, err := c.given()
	if err == nil && f == nil {
		err = misuse("name the record's own --greenhouse FILE: it has the crop's minimum, the place and the twin's figures (or --simulated for the demo's)")
	}
	return f, err
}
