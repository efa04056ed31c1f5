package main

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"duskloop/agent"
	"duskloop/agent/record"
)

// trouble says first what an error means and what to do, and in brackets what it was.
type trouble struct {
	words string
	cause error
}

func (t trouble) Error() string { return fmt.Sprintf("%s (%v)", t.words, t.cause) }

// Unwrap gives the cause.
func (t trouble) Unwrap() error { return t.cause }

// serviceFolder is where deploy/duskloop.service keeps its state.
const serviceFolder = "/var/lib/duskloop"

// unanswered says why the daemon of a folder could not be asked; other errors stay.
func unanswered(err error, dir string, simulated bool) error {
	words := ""
	switch {
	case !errors.Is(err, agent.ErrNoDaemon):
		return err
	case errors.Is(err, fs.ErrPermission):
		words = fmt.Sprintf("you may not ask the daemon of %s: do it as the user that it runs as, or with sudo", dir)
	case simulated:
		words = fmt.Sprintf("no daemon answers in %s: start the demo in another terminal with duskloop run", dir)
	default:
		words = fmt.Sprintf("no daemon answers in %s: start it with duskloop run --greenhouse FILE, or add --simulated for the demo's; a service's has --state %s", dir, serviceFolder)
	}
	return trouble{words, err}
}

// openRecord opens the record of the real daemon or the demo's.
func openRecord(s *session, simulated bool) (*record.Reader, error) {
	dir := agent.Folder(s.state, simulated)
	r, err := record.OpenReadOnly(filepath.Join(dir, agent.RecordName))
	switch {
	case errors.Is(err, fs.ErrPermission):
		err = trouble{fmt.Sprintf("you may not read the record in %s: do it as the user that the daemon runs as, or with sudo", dir), err}
	case !errors.Is(err, fs.ErrNotExist):
	case simulated:
		err = trouble{fmt.Sprintf("the demo has no record in %s yet: run it first, with duskloop run", dir), err}
	default:
		err = trouble{fmt.Sprintf("there is no record in %s: run the daemon first, or add --simulated for the demo's; a service's has --state %s", dir, serviceFolder), err}
	}
	return r, err
}

// worded says in plain words what any command may meet; other errors stay.
func worded(err error) error {
	if record.IsDamaged(err) {
		return trouble{"the record is damaged: stop the daemon, move " + agent.RecordName + " out of its folder and start the daemon again, which begins a new one. " +
			"Settings changed by command and orders by hand, a hold included, are lost with it", err}
	}
	return err
}
