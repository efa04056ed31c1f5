package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"duskloop/agent"
	"duskloop/agent/nightly"
	"duskloop/agent/picture"
)

// aWeek is how many nights a picture has.
const aWeek = 7

// weekly are the pictures of nights on their way; nil where none are asked for.
type weekly struct {
	files []*replacement
	of    *agent.PicturedNights
	now   time.Time
}

// draw begins the files, so that it fails before the record is read.
func (c *nightsCommand) draw(t *agent.ToldNights, first time.Time, count int) (*weekly, error) {
	if c.SVG == "" {
		return nil, nil
	}
	info, err := os.Stat(c.SVG)
	folder := err == nil && info.IsDir()
	if !folder && count > aWeek {
		return nil, misuse("--svg: %d nights are more than one picture: name a folder that exists", count)
	}
	w := &weekly{of: agent.NewPicturedNights(t.File, t.Zone, t.Usual), now: t.Now}
	t.Seen = w.of.Add
	for i := 0; i < count; i += aWeek {
		path := c.SVG
		if folder {
			path = filepath.Join(c.SVG, "nights-"+first.AddDate(0, 0, i).Format(time.DateOnly)+".svg")
		}
		file, err := replace(path)
		if err != nil {
			w.drop()
			return nil, err
		}
		w.files = append(w.files, file)
	}
	return w, nil
}

// finish writes the pictures. A week of which nothing is known has none.
func (w *weekly) finish(all []nightly.Night) error {
	if w == nil {
		return nil
	}
	weeks, err := w.of.Weeks(all, w.now)
	if err != nil {
		return fmt.Errorf("--svg: %w", err)
	}
	for i, week := range weeks {
		if err := w.files[i].finish(week.Write); err != nil && !(errors.Is(err, picture.ErrNothing) && len(weeks) > 1) {
			return err
		}
	}
	return nil
}

// drop removes what was begun.
func (w *weekly) drop() {
	if w == nil {
		return
	}
	for _, f := range w.files {
		f.drop()
	}
}
