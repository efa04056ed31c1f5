//go:build !race

package main

import (
	"fmt"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/browsertest"
)

// views are all of the page's, by the names of their pictures. The day is the demo's second.
var views = []struct{ name, path string }{
	{"tonight", "/"}, {"thresholds", "/thresholds"}, {"hand", "/hand"}, {"probes", "/probes"}, {"record", "/record"},
	{"day", "/day/2026-01-16"}, {"no-day", "/day/2025-01-15"}, {"enter", "/enter"}, {"first", "/first?link=x"}, {"lost", "/day/yesterday"},
}

// verdict is what the checkers had to say of pages.
type verdict struct {
	rules, words int            // with something to judge
	unsure       map[string]int // what axe-core leaves to a person, by its rule
}

// looks holds a page as it stands against the checkers, on a telephone and on a desk, light
// and dark, and keeps a picture of each: axe-core finds nothing, nothing sticks out
// sideways, whatever is pressed is large enough, and words in pictures stand out.
func looks(t *testing.T, b *browsertest.Tab, name string, all *verdict) {
	t.Helper()
	for _, size := range [][2]int64{{1440, 900}, {360, 740}} {
		b.Size(size[0], size[1])
		for _, scheme := range []string{"dark", "light"} {
			b.Scheme(scheme)
			name := fmt.Sprintf("%s-%d-%s", name, size[0], scheme)
			b.Shot(name)
			r := b.Axe()
			for _, f := range r.Violations {
				t.Errorf("%s: axe-core: %s", name, f)
			}
			for _, f := range r.Unsure {
				all.unsure[f.ID] += len(f.Nodes)
			}
			pale, words := b.Pale()
			assert.Empty(t, pale, "%s: words in pictures", name)
			assert.Empty(t, b.Wide(), "%s: wider than the window", name)
			assert.Empty(t, b.Small(), "%s: too small for a thumb", name)
			all.rules, all.words = all.rules+r.Passed, all.words+words
		}
	}
}

// Every view stands before the checkers, and on paper is black on white.
func TestPageViews(t *testing.T) {
	_, p := lived(t, "Jan 18 1")
	b := browsertest.Open(t, p.base)
	all := verdict{unsure: map[string]int{}}
	b.Go("/hand")
	looks(t, b, "hand-not-entered", &all)
	p.enter(b)
	b.Expect(`status of 404`)
	for _, v := range views {
		b.Go(v.path)
		b.Window("window-" + v.name) // as a telephone shows it first
		looks(t, b, v.name, &all)
	}
	t.Logf("%d views in 4 looks; axe-core's rules that had something to judge and passed: %d; left to a person, by rule: %v; words in pictures judged by our own measure of contrast: %d", len(views)+1, all.rules, all.unsure, all.words)
	assert.Greater(t, all.rules, 10*4*len(views), "axe-core judged")
	assert.Greater(t, all.words, 4*100, "the pictures of a night and a day hold as many words")
	b.Print("dark")
	b.Go("/")
	b.Shot("tonight-printed")
	assert.Equal(t, "rgb(0, 0, 0)", b.Tell(`getComputedStyle(document.querySelector("#now dt")).color`), "black on paper, whatever the scheme")
}

// The checkers find what is wrong: without that, their silence would say nothing.
func TestPageCheckersBite(t *testing.T) {
	_, p := demo(t, "60")
	b := browsertest.Open(t, p.base)
	b.Go("/")
	require.Empty(t, b.Complaints())
	b.Tell(`document.querySelector("main").insertAdjacentHTML("beforeend", '<p id="pale">pale</p><img src="/still/icon.svg"><div class="broad">broad</div>');
		document.querySelector("#pale").style.color = "#ccc"; document.querySelector(".broad").style.width = "5000px"; ""`)
	ids := map[string]bool{}
	for _, f := range b.Axe().Violations {
		ids[f.ID] = true
	}
	assert.Contains(t, ids, "image-alt")
	assert.Contains(t, ids, "color-contrast")
	assert.Contains(t, b.Wide(), "broad")
	assert.Empty(t, b.Small())
	b.Tell(`document.querySelector("nav a").style.cssText = "padding: 0; line-height: 1"; document.querySelector("figure.picture text").style.fill = "#aaa"; ""`)
	assert.NotEmpty(t, b.Small())
	pale, _ := b.Pale()
	assert.NotEmpty(t, pale)
	b.Tell(`document.body.insertAdjacentHTML("beforeend", '<p style="color: red">'); const s = document.createElement("script"); s.textContent = "1"; document.body.append(s); ""`)
	require.Eventually(t, func() bool { return len(b.Complaints()) >= 2 }, 10*time.Second, 20*time.Millisecond, "style and script were stopped")
	b.Expect(`(?i)policy`)
	assert.Empty(t, b.Complaints())
	assert.NotEmpty(t, browsertest.Markup(t, map[string]string{"wrong": "<!DOCTYPE html><html lang=en><title>x</title><p id=a><p id=a>"}))
}

// All HTML that the daemon gives is valid, with what was refused and previewed in it.
func TestPageMarkup(t *testing.T) {
	_, p := demo(t, "600")
	c := &http.Client{}
	pages := map[string]string{}
	keep := func(name, text string, code, want int) {
		assert.Equal(t, want, code, name)
		pages[name] = text
	}
	for _, v := range views {
		text, code := p.get(c, v.path)
		want := http.StatusOK
		if v.name == "lost" {
			want = http.StatusNotFound
		}
		keep("before-"+v.name, text, code, want)
	}
	text, code := p.post(c, "/hand", "order=hold&for=1 h")
	keep("unauthorized", text, code, http.StatusUnauthorized)
	_, code = p.post(c, "/first", "token="+p.link[len("/first?link="):]+"&password="+pagePassword)
	require.Equal(t, http.StatusOK, code)
	c = p.client()
	text, code = p.post(c, "/enter", "password=wrong word")
	keep("wrong-password", text, code, http.StatusUnprocessableEntity)
	text, code = p.post(c, "/hand", "order=hold&for=1 h")
	keep("done", text, code, http.StatusOK)
	text, code = p.post(c, "/hand", "order=hold&for=soon")
	keep("order-refused", text, code, http.StatusUnprocessableEntity)
	text, code = p.post(c, "/thresholds", "look=yes&crop.minimum=44 °F")
	keep("preview", text, code, http.StatusOK)
	text, code = p.post(c, "/thresholds", "look=yes&crop.minimum=900 °F")
	keep("refused", text, code, http.StatusUnprocessableEntity)
	text, code = p.get(c, "/record.csv?from=x&to=y")
	keep("no-record", text, code, http.StatusUnprocessableEntity)
	for _, v := range views {
		text, _ := p.get(c, v.path)
		pages[v.name] = text
	}
	for _, f := range browsertest.Markup(t, pages) {
		t.Error(f)
	}
	t.Logf("%d pages held against the HTML checker", len(pages))
}
