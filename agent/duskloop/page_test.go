//go:build !race

package main

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/browsertest"
)

// These tests open the page of the built daemon in a browser. They are not raced: the
// daemon that they start is none of the race detector's, and the browser is slow enough.

// pagePassword is the tests'.
const pagePassword = "warm bed, cold night"

// usualPorts takes the ports that a demo takes by itself, where they are free, and keeps
// them while the tests run: a demo of the tests must stand in nobody's way.
var usualPorts = sync.OnceFunc(func() {
	for _, address := range []string{"127.0.0.1:8480", "127.0.0.1:1883"} {
		if l, err := net.Listen("tcp", address); err == nil {
			go func() {
				for c, err := l.Accept(); err == nil; c, err = l.Accept() {
					_ = c.Close()
				}
			}()
		}
	}
})

// opened is a daemon with its page.
type opened struct {
	*process
	base string // http://host:port
	link string // path and query that set the first password
}

// A daemon says where its page is, and by what link a first password is set.
var (
	pageLine = regexp.MustCompile(`(?m)^(?:simulated )?page: (http://\S+)/$`)
	linkLine = regexp.MustCompile(`(?m)set its password once: http://[^/]+(/first\?link=\S+)$`)
)

// paged waits until a daemon has said where its page is, and has ticked.
func (p *process) paged() *opened {
	t := p.s.t
	t.Helper()
	o := &opened{process: p}
	require.Eventually(t, func() bool {
		if m := pageLine.FindStringSubmatch(p.said()); m != nil {
			o.base = m[1]
		}
		if m := linkLine.FindStringSubmatch(p.said()); m != nil {
			o.link = m[1]
		}
		if o.base == "" {
			return false
		}
		answer, err := http.Get(o.base + "/healthz")
		if err != nil {
			return false
		}
		_ = answer.Body.Close()
		return answer.StatusCode == http.StatusOK
	}, 30*time.Second, 50*time.Millisecond, "the page, and a first tick")
	return o
}

// demo starts one of its own, on ports of its own.
func demo(t *testing.T, speed string) (*site, *opened) {
	t.Helper()
	usualPorts()
	s := &site{t: t, dir: t.TempDir()}
	return s, s.start("run", "--speed", speed).paged()
}

// until waits for the demo's time: the beginning of its date and hour, as "Jan 18 1".
func (o *opened) until(when string) {
	o.s.t.Helper()
	require.Eventually(o.s.t, func() bool { return strings.Contains(o.said(), "simulated | "+when) }, 3*time.Minute, 100*time.Millisecond, when)
}

// lived is a demo at its usual pace after some days, which it lived through quickly.
func lived(t *testing.T, until string) (*site, *opened) {
	t.Helper()
	s, fast := demo(t, "10000")
	fast.until(until)
	code, _ := fast.end(syscall.SIGINT)
	require.Zero(t, code)
	slow := s.start("run", "--speed", "600").paged()
	slow.until("Jan") // some first reading
	return s, slow
}

// freePort is one of the loopback that was free just now.
func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	return l.Addr().String()
}

// pageBench is a bench of real drivers whose page is at a port that stays.
func pageBench(t *testing.T) (*site, *opened) {
	t.Helper()
	s := newSite(t, "good", fmt.Sprintf("[page]\nlisten = %q\n", freePort(t)))
	return s, s.daemon().paged()
}

// enter sets the password by the first link, in the browser.
func (o *opened) enter(b *browsertest.Tab) {
	o.s.t.Helper()
	require.Contains(o.s.t, o.link, "link=", "the link for a first password")
	b.Go(o.link)
	b.Write("#password", pagePassword)
	b.Click("main form button")
	b.AwaitText("footer", "Leave: ask for the password again")
}

// client asks the page without a browser, and enters by the password.
func (o *opened) client() *http.Client {
	t := o.s.t
	t.Helper()
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	c := &http.Client{Jar: jar, Timeout: 30 * time.Second}
	_, code := o.post(c, "/enter", "password="+pagePassword)
	require.Equal(t, http.StatusOK, code)
	return c
}

// post sends a form, written as a query with plain words.
func (o *opened) post(c *http.Client, path, form string) (text string, code int) {
	t := o.s.t
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, o.base+path, strings.NewReader(strings.ReplaceAll(form, " ", "+")))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", o.base)
	return answered(t, c, r)
}

func (o *opened) get(c *http.Client, path string) (text string, code int) {
	t := o.s.t
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.base+path, nil)
	require.NoError(t, err)
	return answered(t, c, r)
}

func answered(t *testing.T, c *http.Client, r *http.Request) (text string, code int) {
	t.Helper()
	answer, err := c.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return string(body), answer.StatusCode
}
