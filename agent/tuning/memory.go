package tuning

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
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
// the asks; a file of anything else is refused. The last line may be torn.
func Remember(path, of string) (*Memory, error) {
	m := &Memory{known: make(map[string]season.Spent)}
	data, err := os.Open(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return nil, err
	default:
		err = m.read(data, of)
		_ = data.Close()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	if m.file, err = os.OpenFile(path, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644); err != nil {
		return nil, err
	}
	if len(m.known) == 0 {
		err = m.write(note{Of: of})
	}
	return m, err
}

func (m *Memory) read(from io.Reader, of string) error {
	s := bufio.NewScanner(from)
	for first := true; s.Scan(); first = false {
		var n note
		err := json.Unmarshal(s.Bytes(), &n)
		switch {
		case first && (err != nil || n.Of != of):
			return ErrOther
		case err == nil && n.Ask != nil && n.Spent != nil: // else torn
			m.known[key(n.Ask)] = *n.Spent
		}
	}
	return s.Err()
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
