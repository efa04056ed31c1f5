package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"
	"unicode/utf8"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// Command is one request. Exactly one of Set, Back, Hand, Show, Readings and Preview is given.
type Command struct {
	ID   string            `json:"id,omitempty"` // repeated in the answer
	Who  string            `json:"who,omitempty"`
	Set  map[string]string `json:"set,omitempty"`  // setting to value with its unit
	Back bool              `json:"back,omitempty"` // what was changed last, to what it was before
	Hand string            `json:"hand,omitempty"` // run-pump, run-fans, hold, test, watch, end, resume
	For  string            `json:"for,omitempty"`  // "10 min"
	Show bool              `json:"show,omitempty"` // the settings, please

	Readings bool `json:"readings,omitempty"` // of the last cycle, please

	Preview map[string]string `json:"preview,omitempty"` // as Set: what it would have done, please
	Nights  int               `json:"nights,omitempty"`  // so many of the last for Preview; 0: UsualNights
}

// Asks says that the command changes nothing. It is answered and not recorded.
func (c Command) Asks() bool { return c.Show || c.Readings || c.Previews() }

// Previews says that the command asks what changed settings would have done.
func (c Command) Previews() bool { return len(c.Preview) > 0 }

// How many nights a preview lives again: by itself, and at most, since the daemon remembers
// three weeks and lives each night twice.
const (
	UsualNights = 7
	MostNights  = 14
)

const (
	longestCommand = 4096
	longestWord    = 64
)

// ErrCommand is wrapped by every refusal of a command's form.
var ErrCommand = errors.New("command refused")

// ParseCommand decodes and checks the form of a command. Whether a setting may
// have its value is the greenhouse file's business.
func ParseCommand(data []byte) (Command, error) {
	var c Command
	if len(data) > longestCommand {
		return c, fmt.Errorf("%w: longer than %d bytes", ErrCommand, longestCommand)
	}
	if err := onlyOnce(data); err != nil {
		return c, fmt.Errorf("%w: %w", ErrCommand, err)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&c); err != nil {
		return Command{}, fmt.Errorf("%w: not the JSON that is wanted: %w", ErrCommand, err)
	}
	if err := c.check(); err != nil {
		return Command{ID: c.ID, Who: c.Who}, fmt.Errorf("%w: %w", ErrCommand, err)
	}
	return c, nil
}

func (c Command) check() error {
	for _, word := range []string{c.ID, c.Who} {
		if len(word) > longestWord || !utf8.ValidString(word) {
			return fmt.Errorf("id and who have at most %d letters", longestWord)
		}
	}
	asked := 0
	for _, given := range []bool{len(c.Set) > 0, c.Back, c.Hand != "", c.Show, c.Readings, c.Previews()} {
		if given {
			asked++
		}
	}
	if asked != 1 {
		return errors.New("give one of set, back, hand, show, readings and preview")
	}
	if c.Nights < 0 || c.Nights > MostNights || c.Nights != 0 && !c.Previews() {
		return fmt.Errorf("nights goes with preview, 1 to %d", MostNights)
	}
	if c.Hand != "" {
		_, err := c.Order()
		return err
	}
	if c.For != "" {
		return errors.New("for goes with hand")
	}
	return nil
}

// Order is the order by hand that the command gives.
func (c Command) Order() (control.Order, error) {
	kind, err := orderKind(c.Hand)
	if err != nil {
		return control.Order{}, err
	}
	longest := kind.Longest()
	if longest == 0 {
		if c.For != "" {
			return control.Order{}, fmt.Errorf("%s takes no time", kind)
		}
		return control.Order{Kind: kind}, nil
	}
	var span quantity.Span
	if err := span.Set(c.For); err != nil {
		return control.Order{}, fmt.Errorf("for how long: %w", err)
	}
	if d := span.Duration(); d < time.Second || d > longest {
		return control.Order{}, fmt.Errorf("%s takes 1 s to %v, not %v", kind, quantity.Span(longest), span)
	}
	return control.Order{Kind: kind, For: span.Duration()}, nil
}

func orderKind(word string) (control.OrderKind, error) {
	for k := control.RunPump; k <= control.Resume; k++ {
		if k.String() == word {
			return k, nil
		}
	}
	return 0, fmt.Errorf("by hand there is run-pump, run-fans, hold, test, watch, end and resume, not %q", word)
}

// onlyOnce refuses a name that stands twice in one object, which the standard
// decoder would silently resolve, and anything after the document.
func onlyOnce(data []byte) error {
	d := json.NewDecoder(bytes.NewReader(data))
	if err := walk(d, 0); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return errors.New("text after the document")
	}
	return nil
}

// deepest is more than any command needs; it bounds the walk.
const deepest = 8

func walk(d *json.Decoder, depth int) error {
	if depth > deepest {
		return errors.New("nested too deeply")
	}
	t, err := d.Token()
	if err != nil {
		return fmt.Errorf("not JSON: %w", err)
	}
	switch t {
	case json.Delim('{'):
		err = walkObject(d, depth)
	case json.Delim('['):
		for d.More() && err == nil {
			err = walk(d, depth+1)
		}
	default:
		return nil
	}
	if err != nil {
		return err
	}
	_, err = d.Token() // the closing bracket
	return err
}

func walkObject(d *json.Decoder, depth int) error {
	seen := make(map[string]bool)
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return fmt.Errorf("not JSON: %w", err)
		}
		name, _ := t.(string)
		if seen[name] {
			return fmt.Errorf("%q stands twice", name)
		}
		seen[name] = true
		if err := walk(d, depth+1); err != nil {
			return err
		}
	}
	return nil
}
