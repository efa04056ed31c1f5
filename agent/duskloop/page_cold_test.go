//go:build !race

package main

import (
	"io"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/browsertest"
)

// What a first look takes, in a browser that was never there, with a processor slowed to a
// quarter: its time is told, its bytes are bounded; and so are those of all views together.
func TestPageColdLoad(t *testing.T) {
	_, p := lived(t, "Jan 18 1")
	var first browsertest.Loaded
	for _, slow := range []float64{1, 4, 4, 4} {
		b := browsertest.Open(t, p.base)
		b.Size(360, 740)
		b.Slow(slow)
		b.Go("/")
		first = b.Loading()
		t.Logf("cold, processor %g times as slow: first paint after %.0f ms, loaded after %.0f ms, %.0f bytes: %v", slow, first.First, first.Whole, first.Sum(), first.Bytes)
		require.Contains(t, first.Bytes, "/still/page.js")
		assert.Less(t, first.Sum(), 40_000.)
	}
	b := browsertest.Open(t, p.base)
	b.Expect(`status of 404`)
	all := map[string]float64{"/still/icon.svg": float64(p.zipped("/still/icon.svg"))}
	for _, v := range views {
		b.Go(v.path)
		for path, n := range b.Loading().Bytes {
			all[path] = max(all[path], n)
		}
	}
	sum := browsertest.Loaded{Bytes: all}.Sum()
	t.Logf("all %d views, with style, script and icon: %.0f bytes", len(views), sum)
	assert.Less(t, sum, 100_000.)
}

// zipped is how many bytes an answer's body takes on its way.
func (o *opened) zipped(path string) int {
	t := o.s.t
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.base+path, nil)
	require.NoError(t, err)
	r.Header.Set("Accept-Encoding", "gzip")
	answer, err := http.DefaultTransport.RoundTrip(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	require.Equal(t, http.StatusOK, answer.StatusCode)
	assert.Equal(t, "gzip", answer.Header.Get("Content-Encoding"), path)
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return len(body)
}

// smallest is the height of the picture's smallest letters in CSS pixels, as text: two digits
// before the point.
const smallest = `(() => { const s = document.querySelector("figure.picture svg"); const k = s.getBoundingClientRect().width / s.viewBox.baseVal.width; return Math.min(...[...s.querySelectorAll("text")].map((t) => k * parseFloat(getComputedStyle(t).fontSize))).toFixed(2); })()`

// Values are read off the picture under a finger, and the clock is the browser's choice.
func TestPageFinger(t *testing.T) {
	_, p := demo(t, "600")
	p.until("Jan 15 23")
	b := browsertest.Open(t, p.base)
	b.Size(360, 740)
	b.Go("/")
	b.Hover("figure.picture svg", 0.5, 0.3) // about two in the night: what is expected
	b.AwaitText("#finger", "tunnel")
	said := `document.querySelector("#finger").textContent.replaceAll("\u00a0", " ")`
	assert.Regexp(t, `^\d{1,2}:\d\d [ap]m, expected · .*tunnel [\d.]+ °F`, b.Tell(said))
	assert.GreaterOrEqual(t, b.Tell(smallest), "11", "the picture's letters, CSS pixels")
	b.Shot("finger-360-light")
	b.Hover("figure.picture svg", 0.2, 0.3) // in the afternoon before
	b.Await("a time that is over", `!document.querySelector("#finger").textContent.includes("expected")`)
	assert.Regexp(t, `^\d{1,2}:\d\d [ap]m`, b.Tell(said))
}

// The picture of a page that stands open is drawn anew by itself when what it rests on has
// changed: held off, it expects no heat.
func TestPageDrawsTheNightAnew(t *testing.T) {
	_, p := demo(t, "60")
	p.until("Jan 15 22:1") // the first plan
	b := browsertest.Open(t, p.base)
	p.enter(b)
	b.Go("/")
	b.Tell(markPage)
	b.Await("a plan", `document.querySelector("#night").textContent.includes("expected by")`)
	_, code := p.post(p.client(), "/hand", "order=hold&for=12 h")
	assert.Equal(t, http.StatusOK, code)
	b.AwaitText("#sentence", "Nothing heats the tunnel: held off by hand until")
	b.AwaitText("#night", "WITHOUT heat")
	b.Await("the same page", stillThere)
	b.Size(360, 740)
	looks(t, b, "held", &verdict{unsure: map[string]int{}})
}
