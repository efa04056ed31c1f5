package access

import (
	"bufio"
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strings"
	"testing"
)

// FuzzParseHash holds what is taken for a hash to its bounds, and to being written as it was
// read.
func FuzzParseHash(f *testing.F) {
	for _, row := range reference {
		f.Add(row.hash)
	}
	for _, text := range damagedHashes() {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		h, err := parseHash(text)
		if err != nil {
			return
		}
		if h.phc() != text {
			t.Fatalf("read %q, writes %q", text, h.phc())
		}
		if h.kib > mostKiB || h.passes == 0 || h.passes > mostPasses || h.lanes == 0 || h.lanes > mostLanes || h.kib < leastKiB*uint32(h.lanes) || len(h.salt) < leastSalt || len(h.sum) < leastHash {
			t.Fatalf("out of bounds: %q", text)
		}
	})
}

// FuzzCookie sends any Cookie header: none opens the door but the one that was given.
func FuzzCookie(f *testing.F) {
	b := newBench(f, Options{}).cheap()
	given := b.enter().Value
	for _, text := range []string{"", "duskloop=x", "duskloop=\"x\"", "duskloop", "a=b; duskloop=AAAA; duskloop=", "__Host-duskloop=x", ";;;=;", "duskloop=\x00"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.Contains(text, given) {
			return // the given cookie itself: it may enter
		}
		r := away(ask{}).request()
		r.Header["Cookie"] = []string{text}
		if who, ok := b.Who(r); ok {
			t.Fatalf("%q is %v", text, who)
		}
		if code, _ := b.judge(r, http.NewCrossOriginProtection()); code != http.StatusUnauthorized {
			t.Fatalf("%q reads", text)
		}
	})
}

// FuzzHost sends any Host header to the machine itself. What is answered is, for an URL's
// own reader (net/url), a loopback name, the address that was reached, or the grower's name.
func FuzzHost(f *testing.F) {
	b := newBench(f, Options{Names: []string{"alder-hollow.local"}})
	for _, text := range []string{"localhost", "LOCALHOST.:80", "127.0.0.1:8460", "[::1]:80", "[::ffff:127.0.0.1]", "alder-hollow.local", "localhost@x", "x/localhost", "localhost#x", "127.1", "0x7f.1", "::1", "[::1%25lo]"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r := ask{}.request()
		r.Host = text
		if !b.ourHost(r) {
			if near(r) {
				t.Fatalf("%q is near and not ours", text)
			}
			return
		}
		u, err := url.Parse("http://" + text)
		if err != nil || u.User != nil || u.Path != "" || u.RawQuery != "" || u.Fragment != "" {
			t.Fatalf("%q is no host: %v", text, err)
		}
		name := strings.TrimSuffix(strings.ToLower(u.Hostname()), ".")
		a, err := netip.ParseAddr(name)
		if name != "localhost" && name != "alder-hollow.local" && (err != nil || !a.Unmap().IsLoopback()) {
			t.Fatalf("%q is answered as %q", text, name)
		}
	})
}

// FuzzPath asks for anything from the house without a session, behind Go's own router: what
// passes is the page that asks for the password and nothing else.
func FuzzPath(f *testing.F) {
	b := newBench(f, Options{Free: []string{"GET /enter", "POST /enter", "GET /style.css"}})
	mux, reached := http.NewServeMux(), ""
	for _, pattern := range []string{"/enter", "/style.css", "/", "/{any}", "/enter/{rest...}", "/x/{any}/enter", "POST /run"} {
		mux.HandleFunc(pattern, func(http.ResponseWriter, *http.Request) { reached = pattern })
	}
	h := b.Guard(mux)
	for _, path := range []string{"/", "/enter", "/enter/", "//enter", "/enter/..", "/%65nter", "/enter%2f..", "/run", "/enter?x", "/enter#x", "*", "/enter;x", "/./enter", "/style.css/../run"} {
		f.Add("GET", path)
		f.Add("POST", path)
	}
	f.Fuzz(func(t *testing.T, method, path string) {
		u, err := url.ParseRequestURI(path)
		if err != nil {
			return // no request line carries such a path
		}
		r := away(ask{}).request()
		r.Method, r.URL, r.RequestURI = method, u, path
		reached = ""
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if reached != "" && reached != "/enter" && reached != "/style.css" {
			t.Fatalf("%s %q reached %q", method, path, reached)
		}
		if w.Code < 300 && reached == "" {
			t.Fatalf("%s %q: code %d by nobody", method, path, w.Code)
		}
	})
}

// FuzzRequest sends any bytes that Go reads as a request, as if from the machine itself,
// without a session: reading by loopback's names passes, nothing else does.
func FuzzRequest(f *testing.F) {
	b := newBench(f, Options{})
	for _, text := range []string{
		"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n", "POST / HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}",
		"GET http://rebound.example/ HTTP/1.1\r\nHost: localhost\r\n\r\n", "OPTIONS * HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n", "HEAD / HTTP/1.0\r\n\r\n",
		"GET / HTTP/1.1\r\nHost: localhost\r\nForwarded: for=x\r\n\r\n", "DELETE / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := http.ReadRequest(bufio.NewReader(strings.NewReader(text)))
		if err != nil {
			return // Go's server would not hand this on
		}
		here := &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8460}
		r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, here))
		r.RemoteAddr = "127.0.0.1:4000"
		passed := false
		w := httptest.NewRecorder()
		b.Guard(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			passed = true
			_, _ = io.Copy(io.Discard, r.Body)
		})).ServeHTTP(w, r)
		if passed && (!reads(r) || !near(r)) {
			t.Fatalf("%q passed", text)
		}
		if w.Header().Get("Content-Security-Policy") != b.policy {
			t.Fatal("an answer without its headers")
		}
	})
}
