package page

import (
	"bufio"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"duskloop/sensors/quantity"
)

// The first page answers whether the crop is safe before anything else, then what is to be
// seen to, the figures with their age, what is ordered by hand, and the days; what comes
// from outside is never taken for markup.
func TestFrontTellsAllInOrder(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	w := b.ask("GET", "/", nil)
	require.Equal(t, http.StatusOK, w.Code)
	text := w.Body.String()
	at := -1
	for _, say := range []string{
		"The crop is safe until morning.", "Tank heat lasts to about", "To be seen to", "Tank &lt;hot&gt; since", "Pump at rest, fans at rest",
		"By hand: watch only", "6.6\u00a0°C", "52.0\u00a0°C", "read 5\u00a0min ago", "no answer", "74\u00a0%", "70 to 78\u00a0%", "<svg", "Thu 15 Jan", "pump ran 90\u00a0min", "too cold", "nothing recorded",
		"no safeguard",
	} {
		i := strings.Index(text[at+1:], say)
		require.GreaterOrEqual(t, i, 0, "%q after what comes before it", say)
		at += 1 + i
	}
	assert.NotContains(t, text, "<hot>")
	assert.NotContains(t, text, "Alder <Hollow>")
	assert.Contains(t, text, `class="simulated"`)
}

// The answer of three seconds, by the plan's figures and the crop's minimum.
func TestLead(t *testing.T) {
	t.Parallel()
	ta := taste{zone: zone}
	for want, change := range map[string]func(*Moment){
		"The crop is safe until morning.":                                        func(*Moment) {},
		"Likely safe until morning, but not surely: it may fall to 3.0\u00a0°C.": func(m *Moment) { m.Decision.Facts.Tonight.Story.Low = 3 },
		"Too cold tonight: about 2.0\u00a0°C at 06:04, the crop's minimum is 5.0\u00a0°C.": func(m *Moment) {
			m.Decision.Facts.Tonight.Story.Coldest = 2
		},
		"Too cold now: the tunnel is at 1.0\u00a0°C, the crop's minimum is 5.0\u00a0°C.": func(m *Moment) {
			m.Decision.Facts.Air, m.Decision.Facts.Tonight.Story.Coldest = 1, 0
		},
		"What the night brings is not known.": func(m *Moment) {
			m.Decision.Facts.Tonight.Way, m.Decision.Facts.Tonight.Story.ColdestAt = 1, time.Time{}
		},
	} {
		m := moment(now)
		change(m)
		got, grim := m.lead(ta, 5)
		assert.Equal(t, want, got)
		assert.Equal(t, !strings.Contains(want, "safe"), grim, want)
	}
	got, _ := (*Moment)(nil).lead(ta, 5)
	assert.Equal(t, "Just started.", got)
}

// °F and °C, 12 and 24 hours, by one switch that the browser remembers.
func TestFiguresFollowOneSwitch(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	w := b.ask("POST", "/figures", url.Values{"figures": {"us12"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	b.cookie = w.Result().Cookies()[0]
	assert.Equal(t, http.SameSiteLaxMode, b.cookie.SameSite)
	text := b.ask("GET", "/", nil).Body.String()
	assert.Contains(t, text, "44\u00a0°F")
	assert.Contains(t, text, "10:04\u00a0pm")
	assert.NotContains(t, text, "6.6\u00a0°C")
	w = b.ask("POST", "/figures", url.Values{"figures": {"furlongs"}})
	assert.Empty(t, w.Result().Cookies())
	ta := taste{units: quantity.US, half: true, zone: zone}
	assert.Equal(t, "from 12:05\u00a0am to 1:30\u00a0pm", ta.timed("from 00:05 to 13:30"))
}

// Changing asks for the password; with it an order and a setting reach the loop, with who;
// what is refused is said beside its field, and what was written stays.
func TestChanging(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	order := url.Values{"order": {"hold"}, "for": {"1 h"}}
	assert.Equal(t, http.StatusUnauthorized, b.ask("POST", "/hand", order).Code)
	assert.Empty(t, b.house.commands)
	b.enter(t)
	assert.Equal(t, http.StatusSeeOther, b.ask("POST", "/hand", order).Code)
	require.Len(t, b.house.commands, 1)
	assert.Regexp(t, `^page, 127\.0\.0\.1, entered as [0-9a-f]{8}: .*"hand":"hold","for":"1 h"`, b.house.commands[0])

	b.house.nights = []Replayed{{Noon: now, Was: 4, Again: 4.2, Then: 5, SquaredAgain: 9, SquaredThen: 2, BelowAgain: 5 * time.Hour, BelowThen: 40 * time.Minute}}
	change := url.Values{"crop.minimum": {"6 °C"}, "look": {"yes"}}
	w := b.ask("POST", "/thresholds", change)
	text := w.Body.String()
	assert.Equal(t, http.StatusOK, w.Code)
	for _, say := range []string{"What it would have done", "coldest, changed", "<p>It would have been warmer until 05:10.</p>", "minimum for 5.0\u00a0h as it is, for 40\u00a0min changed", "9\u00a0K²h as it is", "Change it", `value="6 °C"`, "now 5 °C"} {
		assert.Contains(t, text, say)
	}
	assert.Len(t, b.house.commands, 1, "a look changes nothing")
	b.house.faults = map[string]string{"crop.minimum": "out of range"}
	w = b.ask("POST", "/thresholds", change)
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), `<p id="fault-crop-minimum" class="fault">out of range</p>`)
	assert.Contains(t, w.Body.String(), `value="6 °C"`)
	b.house.faults = nil
	assert.Equal(t, http.StatusSeeOther, b.ask("POST", "/thresholds/make", change).Code)
	assert.Contains(t, b.house.commands[1], `"set":{"crop.minimum":"6 °C"}`)
	b.house.refuse = "not now"
	w = b.ask("POST", "/thresholds/make", change)
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "not now")
	assert.Contains(t, b.ask("POST", "/thresholds", url.Values{"crop.minimum": {"5 °C"}}).Body.String(), "Nothing is changed")
	assert.Equal(t, http.StatusSeeOther, b.ask("POST", "/leave", nil).Code)
	assert.Equal(t, http.StatusUnauthorized, b.ask("POST", "/hand", order).Code)
}

// The health says whether the loop turns, and the state is one document.
func TestHealthAndState(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	assert.Equal(t, http.StatusServiceUnavailable, b.ask("GET", "/healthz", nil).Code)
	b.Show(moment(now))
	assert.Equal(t, http.StatusOK, b.ask("GET", "/healthz", nil).Code)
	b.at = now.Add(31 * time.Second)
	w := b.ask("GET", "/healthz", nil)
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
	assert.Contains(t, w.Body.String(), "stands still")
	var d map[string]any
	require.NoError(t, json.Unmarshal(b.ask("GET", "/state.json", nil).Body.Bytes(), &d))
	assert.Contains(t, d, "decision")
}

// A stream sends the moment that is, then each that comes, to as many as look.
func TestStream(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	server := httptest.NewServer(b.handler)
	defer server.Close()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, server.URL+"/live", nil)
	require.NoError(t, err)
	answer, err := server.Client().Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	assert.Equal(t, "text/event-stream", answer.Header.Get("Content-Type"))
	lines := bufio.NewScanner(answer.Body)
	lines.Buffer(nil, 1<<20)
	next := func() pieces {
		for lines.Scan() {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				var p pieces
				require.NoError(t, json.Unmarshal([]byte(data), &p))
				return p
			}
		}
		t.Fatal("the stream ended")
		return nil
	}
	assert.Contains(t, next()["now"], "6.6\u00a0°C")
	m := moment(now.Add(10 * time.Second))
	m.Places[0].C, m.Alerts = 7.7, nil
	b.Show(m)
	p := next()
	assert.Contains(t, p["now"], "7.7\u00a0°C")
	assert.Contains(t, p["alerts"], "Nothing needs doing.")
	assert.Contains(t, p["sentence"], "<h1>")
}

// Every page is well-formed, named, with every label's field there, every id once, and small
// when zipped; a first view of page, style and script stays under 40 kB.
func TestPagesAreSound(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	b.enter(t)
	for _, path := range []string{"/", "/thresholds", "/hand", "/probes", "/record", "/enter", "/first?link=x", "/day/2026-01-15", "/day/2025-01-15"} {
		w := b.ask("GET", path, nil)
		require.Equal(t, http.StatusOK, w.Code, path)
		doc, err := html.Parse(strings.NewReader(w.Body.String()))
		require.NoError(t, err)
		ids, labels, headings := map[string]int{}, []string{}, 0
		walk(doc, func(n *html.Node) {
			for _, a := range n.Attr {
				if a.Key == "id" {
					ids[a.Val]++
				}
				if n.Data == "label" && a.Key == "for" {
					labels = append(labels, a.Val)
				}
				assert.False(t, strings.HasPrefix(a.Key, "on") || a.Key == "style", "%s: %s=%q would need an open policy", path, a.Key, a.Val)
			}
			if n.Data == "h1" {
				headings++
			}
		})
		for id, n := range ids {
			assert.Equal(t, 1, n, "%s: id %s", path, id)
		}
		for _, l := range labels {
			assert.Equal(t, 1, ids[l], "%s: label for %s", path, l)
		}
		assert.Equal(t, 1, headings, path)
		assert.Contains(t, w.Body.String(), `data-stream="/live?of=`, "%s says when the daemon is away", path)
		assert.Contains(t, w.Header().Get("Content-Security-Policy"), "default-src 'none'")
	}
	assert.Equal(t, http.StatusNotFound, b.ask("GET", "/day/yesterday", nil).Code)
	assert.Equal(t, http.StatusNotFound, b.ask("GET", "/still/secret", nil).Code)
	sum := len(zip(b.ask("GET", "/", nil).Body.Bytes()))
	for _, name := range []string{"page.css", "page.js", "icon.svg"} {
		sum += len(zip(b.still[name]))
	}
	t.Logf("a first view is %d bytes zipped, without the night's picture", sum)
	assert.Less(t, sum, 40_000)
}

func walk(n *html.Node, do func(*html.Node)) {
	if n.Type == html.ElementNode {
		do(n)
	}
	for k := n.FirstChild; k != nil; k = k.NextSibling {
		walk(k, do)
	}
}

// Zipped for who takes it, and the same text either way.
func TestZipped(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	r := httptest.NewRequest("GET", "http://127.0.0.1:8480/still/page.css", nil)
	r.RemoteAddr = "127.0.0.1:4711"
	r.Header.Set("Accept-Encoding", "br, gzip;q=0.8")
	w := httptest.NewRecorder()
	b.still.ServeHTTP(w, func() *http.Request { r.SetPathValue("name", "page.css"); return r }())
	require.Equal(t, "gzip", w.Header().Get("Content-Encoding"))
	z, err := gzip.NewReader(w.Body)
	require.NoError(t, err)
	text, err := io.ReadAll(z)
	require.NoError(t, err)
	assert.Equal(t, b.still["page.css"], text)
	for header, want := range map[string]bool{"gzip": true, "": false, "gzip;q=0": false, "br": false, "GZIP": true} {
		r.Header.Set("Accept-Encoding", header)
		assert.Equal(t, want, takesGzip(r), header)
	}
}

// An export is named by its days, and a wrong day is said.
func TestExport(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	w := b.ask("GET", "/record.csv?from=2026-01-10&to=2026-01-12&what=events", nil)
	assert.Equal(t, "2026-01-10,2026-01-13,true\n", w.Body.String())
	assert.Contains(t, w.Header().Get("Content-Disposition"), "events-2026-01-10-2026-01-12.csv")
	for _, query := range []string{"", "from=2026-01-12&to=2026-01-10", "from=x&to=y", "from=2020-01-01&to=2026-01-01"} {
		assert.Equal(t, http.StatusUnprocessableEntity, b.ask("GET", "/record.csv?"+query, nil).Code, query)
	}
	b.house.fails = errors.New("disk")
	assert.Panics(t, func() { b.ask("GET", "/record.csv?from=2026-01-10&to=2026-01-12", nil) }, "half a file is cut off")
	assert.Equal(t, http.StatusOK, b.ask("GET", "/", nil).Code, "the page stands without the record")
}

// A picture stands for a while, but not past a change of what it shows: a setting or an
// order made here, a minimum changed from elsewhere, heat that can come no longer.
func TestPictureIsDrawnAnewAfterAChange(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	minimum := quantity.Celsius(5)
	b.home.Minimum = func() quantity.Celsius { return minimum }
	b.Show(moment(now))
	b.enter(t)
	look := func() int {
		require.Equal(t, http.StatusOK, b.ask("GET", "/", nil).Code)
		return b.house.drawn
	}
	require.Equal(t, 1, look())
	require.Equal(t, 1, look(), "kept")
	b.ask("POST", "/hand", url.Values{"order": {"end"}})
	assert.Equal(t, 2, look(), "after an order")
	b.house.refuse = "no"
	b.ask("POST", "/hand", url.Values{"order": {"end"}})
	assert.Equal(t, 2, look(), "one that was refused changed nothing")
	minimum = 6
	assert.Equal(t, 3, look(), "the minimum was changed by message")
	m := moment(now)
	held(m)
	b.Show(m)
	assert.Equal(t, 4, look(), "held off by message")
}

// Alerts are told in the reader's own units and by the own clock, whatever the file's.
func TestAlertsFollowTheUnits(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	m := moment(now)
	m.Told = map[quantity.Units][]string{quantity.SI: {"Tunnel air 4 °C at 22:04."}, quantity.US: {"Tunnel air 39.2 °F at 22:04."}}
	b.Show(m)
	assert.Contains(t, b.ask("GET", "/", nil).Body.String(), "Tunnel air 4\u00a0°C at 22:04.")
	b.taste = b.ask("POST", "/figures", url.Values{"figures": {"us12"}}).Result().Cookies()[0]
	assert.Contains(t, b.ask("GET", "/", nil).Body.String(), "Tunnel air 39.2\u00a0°F at 10:04\u00a0pm.")
}

// The links to style, script and icon change with their content, and only by such a link is
// a file kept.
func TestStillFilesAreLinkedByTheirContent(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	text := b.ask("GET", "/", nil).Body.String()
	for _, name := range []string{"page.css", "page.js", "icon.svg"} {
		link := b.still.linked(name)
		assert.Contains(t, text, `"`+link+`"`)
		w := b.ask("GET", link, nil)
		assert.Equal(t, http.StatusOK, w.Code)
		assert.Contains(t, w.Header().Get("Cache-Control"), "immutable")
		assert.Equal(t, "no-cache", b.ask("GET", "/still/"+name+"?v=0", nil).Header().Get("Cache-Control"))
		other := still{name: append([]byte("x"), b.still[name]...)}
		assert.NotEqual(t, link, other.linked(name))
	}
}

// A screen reader is told when lead or alerts mean something else, not with each figure.
func TestSpokenByItsMeaning(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	say := func(bend func(*Moment)) front {
		m := moment(now)
		bend(m)
		return b.frontOf(m, nil, taste{half: true, zone: zone})
	}
	short := say(shortPlan)
	colder := say(func(m *Moment) {
		s := &m.Decision.Facts.Tonight.Story
		s.Coldest, s.ColdestAt = 1.3, s.ColdestAt.Add(7*time.Hour) // past noon
		m.Alerts[0].Text = "Tank <hot> since 22:05."
	})
	assert.NotEqual(t, short.Lead, colder.Lead)
	assert.Equal(t, short.Meaning, colder.Meaning)
	assert.NotEqual(t, short.Meaning, say(func(*Moment) {}).Meaning, "another lead")
	assert.NotEqual(t, short.Meaning, say(func(m *Moment) { shortPlan(m); m.Alerts = nil }).Meaning, "an alert is gone")
	assert.Contains(t, short.Spoken, "Too cold tonight: about")
	assert.Contains(t, short.Spoken, "Critical: Tank <hot> since 10:04")
	text := b.ask("GET", "/", nil).Body.String()
	assert.NotContains(t, text, "aria-live")
	assert.Contains(t, text, `id="spoken"`)
}

// The switch of units goes back to where it stood, and nowhere else.
func TestUnitsGoBackToTheirView(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	for from, to := range map[string]string{
		"/probes": "/probes", "/day/2026-01-15": "/day/2026-01-15", "/thresholds/make": "/thresholds", "/": "/", "": "/",
		"//elsewhere.example": "/", "https://elsewhere.example/": "/", "/day/2026-01-15/../..": "/", "/\\elsewhere": "/",
	} {
		w := b.ask("POST", "/figures", url.Values{"figures": {"us12"}, "back": {from}})
		assert.Equal(t, to, w.Header().Get("Location"), from)
	}
	assert.Contains(t, b.ask("GET", "/probes", nil).Body.String(), `name="back" value="/probes"`)
}

// Who is refused is told so in plain words on a small page, and nothing of the greenhouse.
func TestRefusedInWords(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	for code, say := range map[int]string{
		http.StatusMisdirectedRequest: "under the name by which you came", http.StatusForbidden: "another page than the greenhouse", http.StatusMethodNotAllowed: "cannot be done here",
		http.StatusRequestEntityTooLarge: "more than any form", http.StatusUnsupportedMediaType: "no form of this page", http.StatusTeapot: "nothing was done",
	} {
		w := httptest.NewRecorder()
		b.Refused(w, httptest.NewRequest("GET", "/", nil), code)
		assert.Equal(t, code, w.Code)
		assert.Contains(t, w.Header().Get("Content-Type"), "text/html")
		assert.Contains(t, w.Body.String(), say)
		assert.NotContains(t, w.Body.String(), "Alder")
	}
	w := b.ask("GET", "/nothing/here", nil)
	assert.Equal(t, http.StatusNotFound, w.Code)
	assert.Contains(t, w.Body.String(), "There is no such page.")
}
