package agent

import (
	"context"
	"errors"
	"fmt"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/phone"
)

// openPhone makes the teller that the file asks for; nil where it asks for none, or where
// there is no record to read from.
func openPhone(d *parts) (*phone.Teller, error) {
	p := d.File.Phone
	if p.SecretFile == "" || d.record == nil {
		return nil, nil
	}
	target, err := phoneOf(p)
	if err != nil {
		return nil, err
	}
	return phone.New(d.record, phone.Options{
		Target: target, Name: string(d.File.Site.Name), From: p.From.Severity, Over: bool(p.Over),
		Quiet:  phone.Quiet{From: time.Duration(p.QuietFrom), To: time.Duration(p.QuietTo)},
		Hourly: int(p.Hourly), Log: d.Log,
	})
}

func phoneOf(p config.Phone) (phone.Target, error) {
	target, err := phone.ReadTarget(string(p.SecretFile))
	if err != nil {
		return target, fmt.Errorf("%w: %w", ErrConfig, err)
	}
	return target, nil
}

// TryPhone sends one message, so that the grower can see it arrive.
func TryPhone(ctx context.Context, f *config.File) error {
	if f.Phone.SecretFile == "" {
		return fmt.Errorf("%w: phone.secret_file names no file: nobody is told", ErrConfig)
	}
	target, err := phoneOf(f.Phone)
	if err != nil {
		return err
	}
	text := fmt.Sprintf("%s: this is a test of duskloop's messages. Alerts of %s and graver come here.", f.Site.Name, f.Phone.From)
	if err := target.Send(ctx, fmt.Sprintf("test-%d", time.Now().UnixNano()), text); err != nil {
		return errors.Join(errors.New("the test message did not arrive"), err)
	}
	return nil
}
