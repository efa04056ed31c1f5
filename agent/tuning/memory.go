package tuning

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"duskloop/sim/season"
	"duskloop/sim/tune"
)

// Memory keeps every flight in a file, so that a search that was broken off goes on: it asks
// the same again and is told at once.
type Memory struct {
	known map[string]season.Spent
	file  *os.File
}

// note is a line of the file: the first tells what it is of.
type note struct {
	Of    string        `json:"of,omitempty"`
	Ask   *tune.Ask     `json:"ask,omitempty"`
	Spent *season.Spent `json:"spent,omitempty"`
}

// ErrOther is a file of another search.
var ErrOther = errors.New("it is of another greenhouse file, fit, place or weather")

// Remember opens a file, begun if it is not there. of tells what the flights depend on beside
// the asks; a file of anything else is refused. A torn last line is cut off.
func Remember(path, of string) (*Memory, error) {
	m := &Memory{known: make(map[string]season.Spent)}
	data, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	begun := bytes.LastIndexByte(data, '\n') + 1
	if err := m.read(data[:begun], data[begun:], of); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if m.file, err = os.OpenFile(path, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644); err != nil {
		return nil, err
	}
	if begun < len(data) {
		err = m.file.Truncate(int64(begun))
	}
	if begun == 0 && err == nil {
		err = m.write(note{Of: of})
	}
	return m, err
}

// read takes whole lines in; the torn one behind them must be one of ours if it is the first.
func (m *Memory) read(lines, torn []byte, of string) error {
	if ours := []byte(`{"of":`); len(lines) == 0 && len(torn) > 0 && !bytes.HasPrefix(torn, ours) && !bytes.HasPrefix(ours, torn) {
		return ErrOther
	}
	for i, line := range bytes.Split(bytes.TrimSuffix(lines, []byte("\n")), []byte("\n")) {
		var n note
		err := json.Unmarshal(line, &n)
		switch {
		case i == 0 && len(lines) > 0 && (err != nil || n.Of != of):
			return ErrOther
		case err == nil && n.Ask != nil && n.Spent != nil:
			m.known[key(n.Ask)] = *n.Spent
		}
	}
	return nil
}

func key(a *tune.Ask) string {
	b, err := json.Marshal(a)
	if err != nil {
		panic(err) // numbers always marshal
	}
	return string(b)
}

// Of an ask, if it was flown before. A nil memory knows nothing.
func (m *Memory) Of(a *tune.Ask) (season.Spent, bool) {
	if m == nil {
		return season.Spent{}, false
	}
	x, ok := m.known[key(a)]
	return x, ok
}

// Keep a flight. It is not safe for concurrent use.
func (m *Memory) Keep(a *tune.Ask, x season.Spent) error {
	if m == nil {
		return nil
	}
	m.known[key(a)] = x
	return m.write(note{Ask: a, Spent: &x})
}

func (m *Memory) write(n note) error {
	b, err := json.Marshal(n)
	if err == nil {
		_, err = m.file.Write(append(b, '\n'))
	}
	return err
}

// Close the file.
func (m *Memory) Close() error {
	if m == nil || m.file == nil {
		return nil
	}
	return m.file.Close()
}
