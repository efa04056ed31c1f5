package main

import (
	"errors"

	"duskloop/agent/config"
	"duskloop/agent/sizing"
	"duskloop/sensors/quantity"
)

// sheet works out the whole worksheet and prints it.
func (c *sizeCommand) sheet(s *session, x *sizing.Sketch, u quantity.Units) error {
	var file *replacement
	if c.HTML != "" {
		var err error
		if file, err = replaceFor("--html", c.HTML, isHTML); err != nil {
			return err
		}
		defer file.drop()
	}
	w, err := work(s, x)
	if err != nil {
		return wordsOf(err)
	}
	if file != nil {
		if err := file.finish(w.Page(u).Write); err != nil {
			return err
		}
	}
	if c.JSON {
		return printJSON(s.out, w)
	}
	printSheet(s.out, w.Sections(u))
	return nil
}

// vary answers one question.
func (c *sizeCommand) vary(s *session, x *sizing.Sketch, u quantity.Units) error {
	if c.HTML != "" {
		return misuse("--html draws the worksheet; with --vary the picture is --svg")
	}
	v, err := x.Question(c.Vary, c.Steps)
	if err != nil {
		return misuse("--vary: %v", err) // not a fault of the file, though told as one
	}
	var file *replacement
	if c.SVG != "" {
		if file, err = replace(c.SVG); err != nil {
			return err
		}
		defer file.drop()
	}
	var jobs []func() error
	for i := range v.Rows {
		jobs = append(jobs, func() error { return x.Answer(&v, i) })
	}
	bar := barOf(s.err, len(jobs))
	defer bar.finish()
	if err := each(s, bar, jobs); err != nil {
		return wordsOf(err)
	}
	if file != nil {
		if err := file.finish(v.Draw(u).Write); err != nil {
			return err
		}
	}
	if c.JSON {
		return printJSON(s.out, v)
	}
	printSheet(s.out, []sizing.Section{v.Section(u)})
	return nil
}

// wordsOf an error: faults of a changed file are the grower's words on the line.
func wordsOf(err error) error {
	if _, is := errors.AsType[config.Faults](err); is {
		return misuse("the changed file: %v", err)
	}
	return err
}
