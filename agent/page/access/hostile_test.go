package access

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// guarded is a server whose handler notes what reached it.
type guarded struct {
	*served
	*bench
	reached chan string
}

func newGuarded(t *testing.T, lim limits) *guarded {
	b := newBench(t, Options{Free: []string{"GET /enter", "POST /enter"}}).cheap()
	reached := make(chan string, 1000)
	s := newServed(t, b.Guard(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, err := io.Copy(io.Discard, r.Body); err != nil {
			w.WriteHeader(http.StatusBadRequest)
			return
		}
		reached <- r.Method + " " + r.URL.Path
		_, _ = io.WriteString(w, "reached")
	})), nil, lim)
	return &guarded{s, b, reached}
}

// TestHostileBytes sends what is no proper request, or one that could be taken for two,
// from the machine itself, where reading is open: nothing that changes gets through, nothing
// by another's name, and the server goes on.
func TestHostileBytes(t *testing.T) {
	t.Parallel()
	g := newGuarded(t, short())
	host := "Host: " + g.address + "\r\n"
	form := "Content-Type: application/x-www-form-urlencoded\r\n"
	rows := map[string]string{
		"nothing":                       "",
		"line ends":                     "\r\n\r\n\r\n",
		"zeros":                         strings.Repeat("\x00", 1000),
		"noise":                         "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
		"one word":                      "GET\r\n\r\n",
		"no version":                    "GET /\r\n\r\n",
		"0.9":                           "GET / HTTP/0.9\r\n" + host + "\r\n",
		"3.0":                           "GET / HTTP/3.0\r\n" + host + "\r\n",
		"preface of HTTP/2":             "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
		"no host":                       "GET / HTTP/1.1\r\n\r\n",
		"two hosts":                     "GET / HTTP/1.1\r\n" + host + "Host: rebound.example\r\n\r\n",
		"host of another":               "GET / HTTP/1.1\r\nHost: rebound.example\r\n\r\n",
		"host in the line":              "GET http://rebound.example/ HTTP/1.1\r\n" + host + "\r\n",
		"host with a path":              "GET / HTTP/1.1\r\nHost: localhost/x\r\n\r\n",
		"host with a letter of control": "GET / HTTP/1.1\r\nHost: local\x01host\r\n\r\n",
		"no host, 1.0":                  "GET / HTTP/1.0\r\n\r\n",
		"options of all by another":     "OPTIONS * HTTP/1.1\r\nHost: rebound.example\r\n\r\n",
		"connect":                       "CONNECT " + g.address + " HTTP/1.1\r\n" + host + "\r\n",
		"length twice":                  "POST / HTTP/1.1\r\n" + host + form + "Content-Length: 1\r\nContent-Length: 2\r\n\r\nab",
		"length below nothing":          "POST / HTTP/1.1\r\n" + host + form + "Content-Length: -1\r\n\r\n",
		"length and chunks":             "POST / HTTP/1.1\r\n" + host + form + "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nPOST /enter HTTP/1.1\r\n" + host + "\r\n",
		"chunks of no size":             "POST /enter HTTP/1.1\r\n" + host + form + "Transfer-Encoding: chunked\r\n\r\nzz\r\n",
		"chunk of all sizes":            "POST /enter HTTP/1.1\r\n" + host + form + "Transfer-Encoding: chunked\r\n\r\nffffffffffffffff\r\nx",
		"unknown encoding":              "POST /enter HTTP/1.1\r\n" + host + form + "Transfer-Encoding: gzip, chunked\r\n\r\n0\r\n\r\n",
		"space in a name":               "POST / HTTP/1.1\r\n" + host + "Cookie : duskloop=x\r\n\r\n",
		"folded":                        "POST / HTTP/1.1\r\n" + host + "Cookie: a\r\n duskloop=x\r\n\r\n",
		"no session":                    "POST / HTTP/1.1\r\n" + host + "\r\n",
		"a get that carries":            "GET / HTTP/1.1\r\n" + host + "Content-Length: 9999999\r\n\r\nx",
		"override":                      "POST / HTTP/1.1\r\n" + host + "X-HTTP-Method-Override: GET\r\n\r\n",
		"upgrade":                       "GET / HTTP/1.1\r\n" + host + "Upgrade: websocket\r\nConnection: Upgrade\r\nSec-Fetch-Site: cross-site\r\n\r\n",
		"path of another":               "POST /enter/../x HTTP/1.1\r\n" + host + form + "\r\n",
		"escaped path":                  "POST /%65nter HTTP/1.1\r\n" + host + form + "\r\n",
		"path that is none":             "POST /enter%zz HTTP/1.1\r\n" + host + form + "\r\n",
		"zero in a path":                "POST /enter%00 HTTP/1.1\r\n" + host + form + "\r\n",
		"no path":                       "POST  HTTP/1.1\r\n" + host + form + "\r\n",
		"star":                          "POST * HTTP/1.1\r\n" + host + form + "\r\n",
		"long path":                     "POST /" + strings.Repeat("enter/", 2000) + " HTTP/1.1\r\n" + host + form + "\r\n",
		"one long head":                 "GET / HTTP/1.1\r\n" + host + "X-Long: " + strings.Repeat("x", 1<<20) + "\r\n\r\n",
		"many heads":                    "GET / HTTP/1.1\r\n" + host + strings.Repeat("X-A: b\r\n", 100_000) + "\r\n",
		"many cookies":                  "GET / HTTP/1.1\r\n" + host + "Cookie: " + strings.Repeat("duskloop=x; ", 100_000) + "\r\n\r\n",
		"long line":                     "GET /" + strings.Repeat("x", 1<<20) + " HTTP/1.1\r\n" + host + "\r\n",
		"head without end":              "GET / HTTP/1.1\r\n" + strings.Repeat("a", 1<<20),
	}
	var all sync.WaitGroup
	for name, text := range rows {
		all.Go(func() { assert.False(t, strings.HasPrefix(g.said(text), "HTTP/1.1 200"), name) })
	}
	all.Wait()
	g.answers()
	close(g.reached)
	var reached []string
	for what := range g.reached {
		reached = append(reached, what)
	}
	assert.Equal(t, []string{"POST /enter", "GET /"}, reached, "the free one behind length and chunks, and ours")
	t.Logf("%d hostile requests: nothing changed, the server goes on", len(rows))
}

// TestTenMegabytes posts ten megabytes with a session, saying so, not saying so, and to the
// page that asks for the password: none of it reaches the handler whole.
func TestTenMegabytes(t *testing.T) {
	t.Parallel()
	g := newGuarded(t, standard)
	const length = 10 << 20
	for _, path := range []string{"/", "/enter"} {
		for _, chunked := range []bool{false, true} {
			r, err := http.NewRequest("POST", "http://"+g.address+path, strings.NewReader(strings.Repeat("x", length)))
			require.NoError(t, err)
			if chunked {
				r.ContentLength = -1
			}
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.AddCookie(g.enter())
			answer, err := http.DefaultClient.Do(r)
			if err != nil { // hung up on while it still sent
				continue
			}
			assert.Equal(t, !chunked, answer.StatusCode == http.StatusRequestEntityTooLarge)
			assert.True(t, answer.Close, "no more on this connection")
			require.NoError(t, answer.Body.Close())
		}
	}
	assert.Empty(t, g.reached)
	g.answers()
}

// TestTooMuchHangsUp sends a little more than may be brought, without saying so: the
// connection is not used again.
func TestTooMuchHangsUp(t *testing.T) {
	t.Parallel()
	g := newGuarded(t, standard)
	for length, closed := range map[int]bool{mostBody: false, mostBody + 4096: true} {
		r, err := http.NewRequest("POST", "http://"+g.address+"/enter", strings.NewReader(strings.Repeat("x", length)))
		require.NoError(t, err)
		r.ContentLength = -1
		r.Header.Set("Content-Type", "application/json")
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		assert.Equal(t, closed, answer.StatusCode == http.StatusBadRequest)
		assert.Equal(t, closed, answer.Close)
	}
}

// TestFormsAgainstPages sends every kind of post that a page from elsewhere can make a
// browser send, with the grower's cookie in it as if SameSite did not exist.
func TestFormsAgainstPages(t *testing.T) {
	t.Parallel()
	g := newGuarded(t, standard)
	cookie, sent := g.enter(), 0
	for _, site := range []string{"cross-site", "same-site", ""} {
		for _, origin := range []string{"http://rebound.example", "null", "http://" + g.address + ".rebound.example", "https://localhost", "file://", ""} {
			for _, kind := range []string{"application/x-www-form-urlencoded", "text/plain", "multipart/form-data; boundary=x", "application/json", ""} {
				for _, method := range []string{"POST", "PUT", "PATCH", "DELETE"} {
					if site == "" && origin == "" {
						continue // no browser of these years
					}
					r, err := http.NewRequest(method, "http://"+g.address+"/", strings.NewReader(url.Values{"minutes": {"20"}}.Encode()))
					require.NoError(t, err)
					for name, value := range map[string]string{"Sec-Fetch-Site": site, "Origin": origin, "Content-Type": kind} {
						if value != "" {
							r.Header.Set(name, value)
						}
					}
					r.AddCookie(cookie)
					answer, err := http.DefaultClient.Do(r)
					require.NoError(t, err)
					require.NoError(t, answer.Body.Close())
					require.Equal(t, http.StatusForbidden, answer.StatusCode, "%v", r.Header)
					sent++
				}
			}
		}
	}
	assert.Empty(t, g.reached)
	t.Logf("%d posts from other pages refused", sent)
}

// TestPasswordsGuessed posts passwords over the wire as fast as it can: after the first few
// none is looked at.
func TestPasswordsGuessed(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{Free: []string{"POST /enter"}}).cheap()
	looked, waited := 0, 0
	h := b.Guard(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, err := b.Enter(r, r.FormValue("password")); err == ErrWrong {
			looked++
		} else {
			waited++
			w.WriteHeader(http.StatusTooManyRequests)
		}
	}))
	s := newServed(t, h, nil, standard)
	client := &http.Client{Timeout: 10 * time.Second}
	for range 500 {
		answer, err := client.PostForm("http://"+s.address+"/enter", url.Values{"password": {wrong}})
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
	}
	s.stop()
	assert.Equal(t, []int{freely, 500 - freely}, []int{looked, waited})
}
