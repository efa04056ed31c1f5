package access

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFirstStart is the way from the first start to a session, over a second start.
func TestFirstStart(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	b := newBench(t, Options{Folder: folder})
	r := away(ask{}).request()
	token := b.Link()
	require.Len(t, token, 26, "130 bits at 5 a letter")
	_, err := b.Enter(r, right)
	require.ErrorIs(t, err, ErrUnset)

	again := newBench(t, Options{Folder: folder})
	assert.NotEqual(t, token, again.Link(), "a start replaces the link")
	_, err = again.Claim(r, token, right)
	require.ErrorIs(t, err, ErrLink)
	for _, password := range []string{"", "seven 7", strings.Repeat("x", 129)} {
		_, err = again.Claim(r, again.Link(), password)
		require.ErrorIs(t, err, ErrRule)
	}
	used := again.Link()
	c, err := again.Claim(r, " "+strings.ToLower(used)+"\n", right)
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, again.asked(away(ask{cookie: c})).Code)
	assert.Empty(t, again.Link())
	_, err = again.Claim(r, used, wrong)
	require.ErrorIs(t, err, ErrLink, "used")
	_, err = again.Claim(r, "", wrong)
	require.ErrorIs(t, err, ErrLink)

	info, err := os.Stat(filepath.Join(folder, fileName))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode())
	third := newBench(t, Options{Folder: folder})
	assert.Empty(t, third.Link())
	assert.Equal(t, http.StatusUnauthorized, third.asked(away(ask{cookie: c})).Code, "a start ends sessions")
	_, err = third.Enter(r, wrong)
	require.ErrorIs(t, err, ErrWrong)
	c, err = third.Enter(r, right)
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, third.asked(away(ask{cookie: c})).Code)
}

// TestReset is a forgotten password: until the new link is used the old one works, then it
// and every session end.
func TestReset(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	old := b.enter()
	first := b.Reset()
	token := b.Reset()
	assert.Equal(t, token, b.Link())
	assert.Equal(t, http.StatusOK, b.asked(away(ask{cookie: old})).Code)
	_, err := b.Claim(away(ask{}).request(), first, wrong)
	require.ErrorIs(t, err, ErrLink, "replaced")
	b.enter()
	c, err := b.Claim(away(ask{}).request(), token, wrong)
	require.NoError(t, err)
	assert.Equal(t, http.StatusUnauthorized, b.asked(away(ask{cookie: old})).Code)
	assert.Equal(t, http.StatusOK, b.asked(away(ask{cookie: c})).Code)
	_, err = b.Enter(away(ask{}).request(), right)
	require.ErrorIs(t, err, ErrWrong)
}

// A link from Reset ends after a day; the one for a first password does not.
func TestResetEnds(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	b.enter()
	token := b.Reset()
	b.clock.move(ResetLasts)
	_, err := b.Claim(away(ask{}).request(), token, wrong)
	require.ErrorIs(t, err, ErrLink)
	token = b.Reset()
	b.clock.move(ResetLasts - time.Second)
	_, err = b.Claim(away(ask{}).request(), token, wrong)
	require.NoError(t, err)

	first := newBench(t, Options{})
	token = first.Link()
	require.NotEmpty(t, token)
	first.clock.move(400 * 24 * time.Hour)
	_, err = first.Claim(away(ask{}).request(), token, right)
	require.NoError(t, err)
}

func TestChange(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	c, other := b.enter(), b.enter()
	_, err := b.Change(away(ask{}).request(), right, wrong)
	require.ErrorIs(t, err, ErrSession)
	r := away(ask{cookie: c}).request()
	_, err = b.Change(r, wrong, "another one altogether")
	require.ErrorIs(t, err, ErrWrong)
	_, err = b.Change(r, right, "short")
	require.ErrorIs(t, err, ErrRule)
	kept, err := b.Change(r, right, wrong)
	require.NoError(t, err)
	for _, row := range []struct {
		c    *http.Cookie
		code int
	}{{c, 401}, {other, 401}, {kept, 200}} {
		assert.Equal(t, row.code, b.asked(away(ask{cookie: row.c})).Code)
	}
}

// TestClaimedOnce lets many use one link at the same time: one sets the password.
func TestClaimedOnce(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{})
	token, set := b.Link(), make(chan string, 4)
	var all sync.WaitGroup
	for i := range 4 {
		all.Go(func() {
			password := fmt.Sprintf("password number %d", i)
			if _, err := b.Claim(away(ask{}).request(), token, password); err == nil {
				set <- password
			} else if !errors.Is(err, ErrLink) && !errors.Is(err, ErrBusy) {
				t.Error(err)
			}
		})
	}
	all.Wait()
	require.Len(t, set, 1)
	_, err := b.Enter(away(ask{}).request(), <-set)
	require.NoError(t, err)
}

// TestHashingsWait holds the one place for hashing: the next few wait as long as their
// requests do, the rest are sent away at once, and no try is counted against them.
func TestHashingsWait(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	b.hashings <- struct{}{}
	ctx, cancel := context.WithCancel(t.Context())
	answers := make(chan error, waitingAtOnce)
	for range waitingAtOnce {
		go func() {
			_, err := b.Enter(away(ask{}).request().WithContext(ctx), right)
			answers <- err
		}()
	}
	require.Eventually(t, func() bool { return len(b.waiting) == waitingAtOnce }, 5*time.Second, time.Millisecond)
	_, err := b.Enter(ask{}.request(), right)
	require.ErrorIs(t, err, ErrBusy)
	cancel()
	for range waitingAtOnce {
		require.ErrorIs(t, <-answers, ErrBusy)
	}
	<-b.hashings
	b.enter()
}

// TestOvertaken sets another password while the old one is being looked at: it opens nothing.
func TestOvertaken(t *testing.T) {
	t.Parallel()
	b, another := newBench(t, Options{}).cheap(), newBench(t, Options{}).cheap()
	b.hashings <- struct{}{}
	answer := make(chan error)
	go func() {
		_, err := b.Enter(away(ask{}).request(), right)
		answer <- err
	}()
	require.Eventually(t, func() bool { return len(b.waiting) == 1 }, 5*time.Second, time.Millisecond)
	b.mu.Lock()
	b.hash = another.hash
	b.mu.Unlock()
	<-b.hashings
	require.ErrorIs(t, <-answer, ErrWrong)
	assert.Empty(t, b.sessions.of)
}

// TestClaimKeepsLink shows that a disk that fails costs neither the link nor the password.
func TestClaimKeepsLink(t *testing.T) {
	t.Parallel()
	folder := filepath.Join(t.TempDir(), "gone")
	b := newBench(t, Options{Folder: folder})
	token := b.Link()
	_, err := b.Claim(away(ask{}).request(), token, right)
	require.ErrorContains(t, err, "keeping the password's hash")
	assert.Equal(t, token, b.Link())
	require.NoError(t, os.Mkdir(folder, 0o700))
	_, err = b.Claim(away(ask{}).request(), token, right)
	require.NoError(t, err)
}

// TestNoSecretIsTold prints everything there is by every verb and encoder, and looks for
// secrets: password, token, cookie, hash, salt.
func TestNoSecretIsTold(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{})
	token := b.Link()
	c, err := b.Claim(away(ask{}).request(), token, right)
	require.NoError(t, err)
	open := b.Reset()
	who, ok := b.Who(away(ask{cookie: c}).request())
	require.True(t, ok)
	var said strings.Builder
	for _, v := range []any{b.Keeper, *b.hash, b.hash, who, &who, ErrRule, ErrWrong, ErrUnset, ErrLink, ErrBusy, ErrDamaged, ErrSession, &Wait{time.Minute}} {
		text, _ := json.Marshal(v)
		fmt.Fprintf(&said, "%v %+v %#v %s %q %x %d %s\n", v, v, v, v, v, v, v, text)
		var log bytes.Buffer
		slog.New(slog.NewTextHandler(&log, nil)).Info("told", "v", v)
		slog.New(slog.NewJSONHandler(&log, nil)).Info("told", "v", v)
		said.Write(log.Bytes())
	}
	for _, secret := range []string{right, token, open, c.Value, b.hash.phc(), b64.EncodeToString(b.hash.sum), b64.EncodeToString(b.hash.salt), fmt.Sprintf("%x", b.hash.sum), fmt.Sprint(b.hash.sum)} {
		assert.NotContains(t, said.String(), secret)
		assert.NotContains(t, said.String(), fmt.Sprintf("%x", secret))
	}
	assert.Contains(t, said.String(), who.ID)
}
