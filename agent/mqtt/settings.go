package mqtt

import (
	"context"
	"errors"
	"fmt"
	"time"

	"duskloop/agent/wire"
)

// sendSettings sends the settings of loops where they may have changed. Not
// being told them is no reason to give up the connection.
func (f *Feed) sendSettings(s *session) error {
	for _, line := range f.lines {
		if !f.stale[line.Name] || f.isStopping() {
			continue
		}
		list, err := f.settingsOf(s.ctx, line)
		if err != nil {
			f.opts.Log.Warn("settings not sent", "loop", line.Name, "error", err)
			continue
		}
		if err := s.say(f.settings(line.Name, list)); err != nil {
			return err
		}
		f.stale[line.Name] = false
	}
	return nil
}

// settingsOf asks a loop for its settings, for a little while: the loop answers
// between two ticks.
func (f *Feed) settingsOf(ctx context.Context, line Line) ([]wire.Setting, error) {
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	stop := context.AfterFunc(f.intake.ctx, cancel) // Stop does not wait for a loop that has ended
	defer stop()
	if line.Settings != nil {
		return line.Settings(ctx)
	}
	if line.Submit == nil {
		return nil, errors.New("nobody to ask")
	}
	a, err := line.Submit(ctx, []byte(`{"show":true}`), "mqtt")
	if err == nil && !a.Accepted {
		err = fmt.Errorf("asking for settings: %s", a.Reason)
	}
	return a.Settings, err
}
