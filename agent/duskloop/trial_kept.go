package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"
)

// runRow is one reading of a run: °C, and V of the panel where that is kept.
type runRow struct {
	at                 time.Time
	liquid, air, volts float64
	on                 float64 // share of the time up to the next reading
}

// runKept is a run's file, in the form that trial reads. Each line is on the disk before
// the next is taken, so that a power cut leaves all that was seen but the newest reading.
type runKept struct {
	file  *os.File
	volts bool
}

// simulatedMark begins the file of a run that was followed in the demo.
const simulatedMark = "# simulated\n"

// runHead begins the first line of a run's file, a simulated one's after the mark.
const runHead = "time,liquid_c,air_c,on"

// keepRun begins a file; one that is there is replaced only where that was said.
func keepRun(path string, overwrite, volts, simulated bool) (*runKept, error) {
	how := os.O_EXCL
	if overwrite {
		how = os.O_TRUNC
		if err := replaceable(path, isRun); err != nil {
			return nil, err
		}
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|how, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return nil, misuse("%s is there already: give the run another name, or --overwrite", path)
	}
	if err != nil {
		return nil, err
	}
	k, head := &runKept{file, volts}, runHead
	if volts {
		head += ",panel_v"
	}
	if simulated {
		head = simulatedMark + head
	}
	if err := k.line(head); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return k, nil
}

// keep a reading.
func (k *runKept) keep(r runRow) error {
	text := fmt.Sprintf("%s,%.4f,%.4f,%.4g", r.at.UTC().Format("2006-01-02T15:04:05.000Z07:00"), r.liquid, r.air, r.on)
	if k.volts {
		text += fmt.Sprintf(",%.3f", r.volts)
	}
	return k.line(text)
}

func (k *runKept) line(text string) error {
	_, err := k.file.WriteString(text + "\n")
	if err = errors.Join(err, k.file.Sync()); err != nil {
		return fmt.Errorf("the run cannot be kept: %w", err)
	}
	return nil
}

// Close ends the file.
func (k *runKept) Close() error { return k.file.Close() }
