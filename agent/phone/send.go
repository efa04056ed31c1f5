package phone

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"
)

// errRefused means that trying again cannot help.
var errRefused = errors.New("the service refused the message")

// tryFor is how long one try may take.
const tryFor = 20 * time.Second

// Send posts one text, once. The error wraps errRefused where the service says that the
// request is wrong (4xx, but for "later" and "too many"). The address is kept out of
// errors, because it is a secret.
func (t Target) Send(ctx context.Context, key, text string) error {
	ctx, cancel := context.WithTimeout(ctx, tryFor)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, t.URL, strings.NewReader(text))
	if err != nil {
		return fmt.Errorf("%w: the address cannot be used", errRefused)
	}
	for name, values := range t.Headers {
		req.Header[name] = values
	}
	req.Header.Set("Content-Type", "text/plain; charset=utf-8")
	req.Header.Set("Idempotency-Key", `"`+key+`"`) // a draft of the IETF's HTTP API group
	answer, err := t.client().Do(req)
	if err != nil {
		return fmt.Errorf("the service was not reached: %w", bare(err))
	}
	defer answer.Body.Close()
	_, _ = io.Copy(io.Discard, io.LimitReader(answer.Body, 64<<10)) // or the connection cannot be used again
	switch code := answer.StatusCode; {
	case code < 300:
		return nil
	case code == http.StatusTooManyRequests, code == http.StatusRequestTimeout, code >= 500:
		return fmt.Errorf("the service answered %s", answer.Status)
	default:
		return fmt.Errorf("%w: %s", errRefused, answer.Status)
	}
}

// client follows nobody elsewhere: the text would go along.
func (t Target) client() *http.Client {
	c := http.Client{}
	if t.Client != nil {
		c = *t.Client
	}
	c.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &c
}

// bare is an error of the client without the address in front.
func bare(err error) error {
	if inner := errors.Unwrap(err); inner != nil {
		return inner
	}
	return err
}
