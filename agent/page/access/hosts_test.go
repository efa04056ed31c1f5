package access

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestReading is who may read without a session, by where from, by which name, and what the
// grower chose.
func TestReading(t *testing.T) {
	t.Parallel()
	names := []string{"alder-hollow.local", "10.1.2.3", "fd00::5"}
	for _, row := range []struct {
		name            string
		a               ask
		near, everybody int // codes by what the grower chose; Closed is 401 where near is 200
	}{
		{"on the machine", ask{}, 200, 200},
		{"by number", ask{host: "127.0.0.1:8460"}, 200, 200},
		{"by another loopback number", ask{host: "127.8.8.8", peer: "127.3.3.3", local: "127.8.8.8"}, 200, 200},
		{"by IPv6", ask{host: "[::1]:8460", peer: "::1", local: "::1"}, 200, 200},
		{"mapped", ask{peer: "::ffff:127.0.0.1", local: "::ffff:127.0.0.1"}, 200, 200},
		{"dot at the end, capitals", ask{host: "LocalHost.:8460"}, 200, 200},
		{"from the house", away(ask{}), 401, 200},
		{"from the house by the grower's name", ask{peer: "192.168.7.20", local: "192.168.7.2", host: "Alder-Hollow.local:8460"}, 401, 200},
		{"by a number that is forwarded", ask{peer: "192.168.7.20", local: "192.168.7.2", host: "10.1.2.3"}, 401, 200},
		{"by IPv6 that is forwarded", ask{peer: "fd00::9", local: "fd00::2", host: "[fd00:0::5]:80"}, 401, 200},
		{"the machine by its own address", ask{peer: "192.168.7.2", local: "192.168.7.2", host: "192.168.7.2"}, 401, 200},
		{"a proxy here, by the grower's name", ask{host: "alder-hollow.local"}, 401, 200},
		{"a proxy here that says so", ask{headers: []string{"X-Forwarded-For", "203.0.113.9"}}, 401, 200},
		{"a proxy here that says Via", ask{headers: []string{"Via", "1.1 gate"}}, 401, 200},
		{"a proxy here that says Forwarded", ask{headers: []string{"Forwarded", ""}}, 401, 200},
		{"a loopback peer at an outer address", ask{local: "192.168.7.2", host: "192.168.7.2"}, 401, 200},

		{"another's name, turned to us", ask{host: "rebound.example:8460"}, 421, 421},
		{"another's name from the house", ask{peer: "192.168.7.20", local: "192.168.7.2", host: "rebound.example"}, 421, 421},
		{"loopback's name from the house", ask{peer: "192.168.7.20", local: "192.168.7.2", host: "localhost"}, 421, 421},
		{"loopback's number from the house", ask{peer: "192.168.7.20", local: "192.168.7.2", host: "127.0.0.1"}, 421, 421},
		{"a number that is not ours", ask{host: "192.168.7.9"}, 421, 421},
		{"any address", ask{host: "0.0.0.0:8460"}, 421, 421},
		{"a name below localhost", ask{host: "a.localhost"}, 421, 421},
		{"a name that begins like ours", ask{host: "localhost.rebound.example"}, 421, 421},
		{"a name with a user", ask{host: "localhost@rebound.example"}, 421, 421},
		{"a port that is none", ask{host: "localhost:80:80"}, 421, 421},
		{"a zone", ask{host: "[::1%25lo]", peer: "::1", local: "::1"}, 421, 421},
		{"half brackets", ask{host: "[::1", peer: "::1", local: "::1"}, 421, 421},
		{"two dots", ask{host: "localhost.."}, 421, 421},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			closed := row.near
			if closed == 200 {
				closed = 401
			}
			for reading, code := range map[Reading]int{Near: row.near, Everybody: row.everybody, Closed: closed} {
				b := newBench(t, Options{Reading: reading, Names: names}).cheap()
				assert.Equal(t, code, b.asked(row.a).Code, "%d", reading)
				row.a.method = "HEAD"
				w := httptest.NewRecorder()
				b.Guard(http.HandlerFunc(func(http.ResponseWriter, *http.Request) {})).ServeHTTP(w, row.a.request())
				assert.Equal(t, code, w.Code, "HEAD")
				row.a.method = ""
				if code == 401 {
					row.a.cookie = b.enter()
					assert.Equal(t, 200, b.asked(row.a).Code, "with a session")
					row.a.cookie = nil
				}
			}
		})
	}
}

// TestNearAtBothEnds needs loopback at both, whatever names the grower listed.
func TestNearAtBothEnds(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{Names: []string{"localhost", "127.0.0.1"}})
	for code, all := range map[int][]ask{
		200: {{}, {host: "127.0.0.1"}},
		401: {{peer: "192.168.7.20"}, {local: "192.168.7.2"}, {peer: "192.168.7.20", local: "192.168.7.2"}, {peer: "192.168.7.20", host: "127.0.0.1"}},
	} {
		for _, a := range all {
			assert.Equal(t, code, b.asked(a).Code, "%v", a)
		}
	}
}

func TestNoHost(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{Reading: Everybody})
	for _, host := range []string{"", ":", ":80", ".", "[]", "[]:80", "::1", " localhost", "localhost\x00", "local host", strings.Repeat("a", 254), "лук.example"} {
		r := ask{}.request()
		r.Host = host
		w := httptest.NewRecorder()
		b.Guard(marked).ServeHTTP(w, r)
		assert.Equal(t, 421, w.Code, "%q", host)
	}
	r := httptest.NewRequest("GET", "/", nil) // no address known
	r.Host, r.RemoteAddr = "127.0.0.1", "@"
	w := httptest.NewRecorder()
	b.Guard(marked).ServeHTTP(w, r)
	assert.Equal(t, 421, w.Code)
}
