package agent

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"duskloop/agent/config"
)

// linesName is where the lines of the last good start are kept, so that the
// outputs can be brought to rest even when the greenhouse file has been lost.
const linesName = "lines.json"

// lines is what is needed to find the outputs again.
type lines struct {
	Pump, Fans        config.Drive
	Contactor, Buzzer config.Line
	Charger           config.Line
	Pulses            config.Pulses
}

func linesOf(f *config.File) lines {
	l := f.Loop()
	return lines{l.Pump, l.Fans, l.Contactor, l.Buzzer, l.Charger, f.Daemon.Pulses}
}

// keepLines writes the lines in one rename.
func keepLines(dir string, f *config.File) error {
	b, err := json.Marshal(linesOf(f))
	if err != nil {
		return err
	}
	tmp := filepath.Join(dir, linesName+".new")
	if err := os.WriteFile(tmp, b, 0o640); err != nil {
		return fmt.Errorf("keeping the lines: %w", err)
	}
	return os.Rename(tmp, filepath.Join(dir, linesName))
}

// Rest brings the outputs to their inert states without a daemon: those of the
// file, or where there is none those of the last good start. It is what the
// service runs after the daemon has ended, however it ended.
func Rest(f *config.File, dir string, open func() (Hardware, error)) error {
	at := lines{}
	if f != nil {
		at = linesOf(f)
	} else if err := readLines(dir, &at); err != nil {
		return err
	}
	if !at.Pump.Fitted() || !at.Fans.Fitted() {
		return errors.New("the lines of pump and fans are not named: nothing was brought to rest")
	}
	hw, err := open()
	if err != nil {
		return err
	}
	b := &Bench{}
	return errors.Join(b.openLines(&at, hw), b.Rest(), hw.Close())
}

func readLines(dir string, at *lines) error {
	b, err := os.ReadFile(filepath.Join(dir, linesName))
	if err != nil {
		return fmt.Errorf("finding the lines of the last start: %w", err)
	}
	if err := json.Unmarshal(b, at); err != nil {
		return fmt.Errorf("finding the lines of the last start: %w", err)
	}
	return nil
}
