package access

import (
	"context"
	"encoding/base64"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCookie holds the cookie's attributes, with TLS and without.
func TestCookie(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	seen := map[string]bool{}
	for range 3 {
		c := b.enter()
		assert.Regexp(t, `^duskloop=[A-Za-z0-9_-]{43}; Path=/; Max-Age=15552000; HttpOnly; SameSite=Strict$`, c.String())
		raw, err := base64.RawURLEncoding.DecodeString(c.Value)
		require.NoError(t, err)
		assert.Len(t, raw, 32)
		seen[c.Value] = true
	}
	assert.Len(t, seen, 3)
	r := httptest.NewRequest("GET", "https://alder-hollow.local/", nil)
	require.NotNil(t, r.TLS)
	c, err := b.Enter(r, right)
	require.NoError(t, err)
	assert.Regexp(t, `^__Host-duskloop=[A-Za-z0-9_-]{43}; Path=/; Max-Age=15552000; HttpOnly; Secure; SameSite=Strict$`, c.String())
	assert.Equal(t, "duskloop=; Path=/; Max-Age=0; HttpOnly; SameSite=Strict", b.Leave(away(ask{}).request()).String())
}

// TestSessionEnds ends one by leaving, by lying idle, and by age.
func TestSessionEnds(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	in := func(c *http.Cookie) bool { _, ok := b.Who(away(ask{cookie: c}).request()); return ok }
	left, idle := b.enter(), b.enter()
	b.Leave(away(ask{cookie: left}).request())
	assert.False(t, in(left))
	b.clock.move(idleFor)
	assert.True(t, in(idle), "just so")
	b.clock.move(idleFor + time.Nanosecond)
	assert.False(t, in(idle))
	b.clock.move(-idleFor)
	assert.False(t, in(idle), "gone for good")
	kept, since := b.enter(), b.clock.now()
	for b.clock.now().Sub(since) < lastsFor-24*time.Hour {
		b.clock.move(24 * time.Hour)
		require.True(t, in(kept))
	}
	b.clock.move(24*time.Hour + time.Nanosecond)
	assert.False(t, in(kept))
}

// TestEnteringAgain leaves the session before it, where the password is right.
func TestEnteringAgain(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	old := b.enter()
	_, err := b.Enter(away(ask{cookie: old}).request(), wrong)
	require.ErrorIs(t, err, ErrWrong)
	assert.Equal(t, 200, b.asked(away(ask{cookie: old})).Code)
	c, err := b.Enter(away(ask{cookie: old}).request(), right)
	require.NoError(t, err)
	assert.Equal(t, 401, b.asked(away(ask{cookie: old})).Code)
	assert.Equal(t, 200, b.asked(away(ask{cookie: c})).Code)
}

// TestSessionsBounded enters ten times as often as may be at once: the ones used last stay.
func TestSessionsBounded(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	first := b.enter()
	var all []*http.Cookie
	for range 10 * mostAtOnce {
		b.clock.move(time.Second)
		_, ok := b.Who(away(ask{cookie: first}).request())
		require.True(t, ok, "in use")
		all = append(all, b.enter())
	}
	assert.Len(t, b.sessions.of, mostAtOnce)
	for i, c := range all {
		_, ok := b.Who(away(ask{cookie: c}).request())
		assert.Equal(t, i > len(all)-mostAtOnce, ok, "%d", i)
	}
}

// TestForgedCookies tries cookies that were never given, or not like this.
func TestForgedCookies(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	good := b.enter()
	var key string
	for k := range b.sessions.of {
		key = base64.RawURLEncoding.EncodeToString(k[:]) // what a copy of the memory would give
	}
	forged := []string{"", "x", key, good.Value[:42], good.Value + "A", good.Value[1:] + good.Value[:1], "%" + good.Value, "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"}
	for i := range good.Value { // each letter another
		raw := []byte(good.Value)
		raw[i] ^= 1
		forged = append(forged, string(raw))
	}
	for i := range 1000 {
		forged = append(forged, fmt.Sprintf("%043d", i))
	}
	for _, value := range forged {
		a := away(ask{headers: []string{"Cookie", cookieName + "=" + value}})
		require.Equal(t, 401, b.asked(a).Code, "%q", value)
		a.method = "POST"
		require.Equal(t, 401, b.asked(a).Code, "%q", value)
	}
	for _, name := range []string{"Duskloop", "__Host-duskloop", "session", "duskloop[0]"} {
		require.Equal(t, 401, b.asked(away(ask{headers: []string{"Cookie", name + "=" + good.Value}})).Code, name)
	}
	flood := "duskloop=a; duskloop=b; duskloop=c; duskloop=d; duskloop=" + good.Value
	assert.Equal(t, 401, b.asked(away(ask{headers: []string{"Cookie", flood}})).Code, "beyond those that are read")
	assert.Equal(t, 200, b.asked(away(ask{headers: []string{"Cookie", "duskloop=a; duskloop=" + good.Value}})).Code, "one put beside it shuts nobody out")
	t.Logf("%d forged cookies refused", 2*len(forged)+5)
}

// TestWho names the session, where from and since when, and nothing else.
func TestWho(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	one, two := b.enter(), b.enter()
	who, ok := b.Who(away(ask{cookie: one}).request())
	require.True(t, ok)
	assert.Regexp(t, "^[0-9a-f]{8}$", who.ID)
	assert.Equal(t, Session{who.ID, "192.168.7.20", noon}, who)
	other, _ := b.Who(away(ask{cookie: two}).request())
	assert.NotEqual(t, who.ID, other.ID)
	none, ok := b.Who(away(ask{}).request())
	assert.False(t, ok)
	assert.Zero(t, none)
}

// TestStreamsEnd ends what is being read by a session with it; what changes goes on.
func TestStreamsEnd(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name string
		end  func(*bench, *http.Cookie)
	}{
		{"leaving", func(b *bench, c *http.Cookie) { b.Leave(away(ask{cookie: c}).request()) }},
		{"another password", func(b *bench, _ *http.Cookie) {
			_, err := b.Claim(away(ask{}).request(), b.Reset(), wrong)
			require.NoError(b.t, err)
		}},
	} {
		b := newBench(t, Options{}).cheap()
		c := b.enter()
		for _, method := range []string{"GET", "POST"} {
			if method == "POST" {
				c = b.reenter(row.name)
			}
			reached := false
			b.Guard(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
				reached = true
				require.NoError(t, r.Context().Err())
				row.end(b, c)
				if method == "POST" {
					assert.NoError(t, r.Context().Err(), row.name)
					return
				}
				<-r.Context().Done()
				assert.ErrorIs(t, r.Context().Err(), context.Canceled)
			})).ServeHTTP(httptest.NewRecorder(), away(ask{method: method, cookie: c}).request())
			assert.True(t, reached)
		}
	}
}

// reenter enters after a row of TestStreamsEnd.
func (b *bench) reenter(row string) *http.Cookie {
	b.t.Helper()
	password := right
	if row == "another password" {
		password = wrong
	}
	c, err := b.Enter(away(ask{}).request(), password)
	require.NoError(b.t, err)
	return c
}
