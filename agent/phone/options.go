package phone

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"strings"
	"time"

	"duskloop/control"
)

// Options say where messages go, and which.
type Options struct {
	Target Target
	Name   string           // of the greenhouse, at the beginning of each message
	From   control.Severity // the least grave alert that is told
	Over   bool             // tell also that an alert is over
	Quiet  Quiet
	Hourly int // messages an hour for what is not urgent

	Log interface{ Warn(msg string, args ...any) }
	Now func() time.Time // of the wall; nil: time.Now
	// First is the pause after a failed try; it doubles up to Longest. Zero means 10 s
	// and 10 min.
	First, Longest time.Duration
}

// Target is an address with what must be said to it.
type Target struct {
	URL     string
	Headers http.Header
	// Client posts; nil means one of its own, which trusts the system's certificates.
	Client *http.Client
}

// ErrSecret is wrapped by every refusal of a secret file.
var ErrSecret = errors.New("the phone's secret file cannot be used")

// ReadTarget reads a secret file: the address on its first line, then if need be header
// lines as the service wants them, such as "Authorization: Bearer ...". Nobody but its
// owner and group may read the file, because who knows the address can write to your
// telephone.
func ReadTarget(path string) (Target, error) {
	f, err := os.Open(path)
	if err != nil {
		return Target{}, fmt.Errorf("%w: %w", ErrSecret, err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return Target{}, fmt.Errorf("%w: %w", ErrSecret, err)
	}
	if info.Mode().Perm()&0o007 != 0 {
		return Target{}, fmt.Errorf("%w: %s can be read by everybody; chmod o= it", ErrSecret, path)
	}
	return parseTarget(f)
}

func parseTarget(r io.Reader) (Target, error) {
	t := Target{Headers: make(http.Header)}
	s := bufio.NewScanner(r)
	for s.Scan() {
		line := strings.TrimSpace(s.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if t.URL == "" {
			t.URL = line
			continue
		}
		name, value, ok := strings.Cut(line, ":")
		if !ok || strings.ContainsAny(name, " \t") {
			return t, fmt.Errorf("%w: after the address, lines are headers, as Name: value", ErrSecret)
		}
		t.Headers.Add(name, strings.TrimSpace(value))
	}
	if err := s.Err(); err != nil {
		return t, fmt.Errorf("%w: %w", ErrSecret, err)
	}
	return t, t.check()
}

// check wants an address that nobody on the way can read. The secret itself stays out of
// the error.
func (t Target) check() error {
	u, err := url.Parse(t.URL)
	switch {
	case err != nil || u.Host == "":
		return fmt.Errorf("%w: its first line is no https address", ErrSecret)
	case u.Scheme == "https", u.Scheme == "http" && loopback(u.Hostname()):
		return nil
	}
	return fmt.Errorf("%w: the address must begin with https://", ErrSecret)
}

func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

func (o Options) withDefaults() Options {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.First == 0 {
		o.First, o.Longest = 10*time.Second, 10*time.Minute
	}
	if o.Hourly == 0 {
		o.Hourly = 6
	}
	return o
}
