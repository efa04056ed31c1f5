package agent

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// changed is one setting of the last change, with all that it takes to put it back. It is
// kept beside the settings themselves: the record's events have values as they are told,
// which are rounded, and may have been tidied away.
type changed struct {
	Key      string
	From, To string // as told
	Was      string // in the words that it was asked for in; empty: it stood as in the file
	File     string // what the file said then
	Now      string // what it has been since, in SI
}

// lastKey is under what the last change is kept.
const lastKey = "changed/"

// keepLast keeps what a change changed; the overrides are still those before it, the file is
// the one after it.
func (l *Loop) keepLast(changes []config.Change) {
	file, now := live(l.base), live(l.File)
	l.latest = nil
	for _, c := range changes {
		l.latest = append(l.latest, changed{Key: c.Key, From: c.From, To: c.To, Was: l.overrides[c.Key].Now, File: file[c.Key], Now: now[c.Key]})
	}
	b, err := json.Marshal(l.latest)
	if err != nil {
		panic(err) // texts always marshal
	}
	l.Record.Keep(lastKey+l.name, string(b))
}

// restoreLast takes it up after a restart.
func (l *Loop) restoreLast() {
	text, err := l.Record.Kept(lastKey + l.name)
	if err == nil && text != "" {
		err = json.Unmarshal([]byte(text), &l.latest)
	}
	if err != nil {
		l.latest = nil
		l.Log.Error("what was changed last cannot be read, so it cannot be put back", "error", err)
	}
}

// back puts back what the last change changed, all of it or nothing. That is a change like
// any other: to put back once more undoes it.
func (l *Loop) back(now time.Time, who string) ([]wire.SettingChange, []record.Event, error) {
	if len(l.latest) == 0 {
		return nil, nil, l.nothingToPutBack()
	}
	if err := l.changedSince(); err != nil {
		return nil, nil, err
	}
	wanted, file := make(map[string]string), live(l.base)
	for _, c := range l.latest {
		if _, again := wanted[c.Key]; again {
			continue // by its short name and its long one: the first says what was before
		}
		wanted[c.Key] = c.Was
		if c.Was == "" && file[c.Key] != c.File {
			wanted[c.Key] = c.From // the file says something else by now
		}
	}
	next, changes, err := l.File.Back(wanted, l.base)
	if err != nil {
		return nil, nil, err
	}
	return l.adopt(now, who, next, changes)
}

// nothingToPutBack says why.
func (l *Loop) nothingToPutBack() error {
	if len(l.overrides) > 0 {
		return errors.New("which settings were changed last is not known, so nothing can be put back: see them with duskloop settings")
	}
	return errors.New("no setting was ever changed while running: there is nothing to put back")
}

// changedSince names the keys that are no longer as the last change left them: only a hand in
// the greenhouse file can have done that.
func (l *Loop) changedSince() error {
	var all []error
	told := make(map[string]string)
	for _, c := range l.File.Live(l.File.Site.Units) {
		told[c.Key] = c.To
	}
	now := live(l.File)
	for _, c := range l.latest {
		if now[c.Key] != c.Now {
			all = append(all, fmt.Errorf("%s is %s by now, and not %s as it was last changed to: it was set in the greenhouse file since, so change it there; nothing is put back", c.Key, told[c.Key], c.To))
		}
	}
	return errors.Join(all...)
}
