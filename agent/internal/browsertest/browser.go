// Package browsertest opens pages in a real headless Chromium for tests, looks at them,
// and holds them against checkers from outside the project: axe-core for what people with
// a screen reader, a keyboard or weak eyes need, and the Nu HTML checker for markup. Both
// are fetched by .ci/need from .ci/page. Without the browser or a checker a test fails:
// what it would have shown is not shown.
//
// Every wait has an end: a page that follows a stream is never idle.
package browsertest

import (
	"context"
	"fmt"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// stepIn is how long one step in the browser may take, much longer than it should, because
// other tests share the machine.
const stepIn = 60 * time.Second

// Tab is a window of a Chromium of its own, which has never been anywhere. Its methods fail
// the test when they cannot do what they say.
type Tab struct {
	t      testing.TB
	ctx    context.Context
	base   string
	faults *faults
}

// Open starts a Chromium that looks at base, as http://127.0.0.1:4711. At the end of the
// test whatever it complained of and Expect did not name fails the test.
func Open(t testing.TB, base string) *Tab {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Fatalf("not checked: nothing is looked at in a browser without Debian's chromium (make need installs it): %v", err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(program), chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("hide-scrollbars", true),
	)
	all, stop := chromedp.NewExecAllocator(context.Background(), options...)
	b := &Tab{t: t, base: strings.TrimRight(base, "/"), faults: newFaults()}
	var end context.CancelFunc
	b.ctx, end = chromedp.NewContext(all, chromedp.WithListener(b.faults.hear), chromedp.WithErrorf(func(string, ...any) {}))
	t.Cleanup(func() { end(); stop(); b.faults.tell(t) })
	if err := chromedp.Do(b.ctx); err != nil { // its context is the browser's life
		t.Fatalf("starting %s: %v", program, err)
	}
	call(b, network.Enable, network.EnableParams{})
	call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: policyWatch})
	return b
}

// do runs steps within stepIn.
func (b *Tab) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepIn)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatalf("%s: %v; the page:\n%s", what, err, b.words())
	}
}

// Go opens a path and waits until it is there.
func (b *Tab) Go(path string) {
	b.t.Helper()
	b.do("opening "+path, chromedp.Navigate(b.base+path))
}

// Click on what a CSS selector finds, once it is seen.
func (b *Tab) Click(css string) {
	b.t.Helper()
	b.do("clicking "+css, chromedp.Click(chromedp.CSS(css)))
}

// Write into a field, over what it holds.
func (b *Tab) Write(css, text string) {
	b.t.Helper()
	b.do("writing into "+css, chromedp.Clear(chromedp.CSS(css)), chromedp.SendKeys(chromedp.CSS(css), text))
}

// Press keys, one after the other, wherever the focus is.
func (b *Tab) Press(keys string) {
	b.t.Helper()
	b.do(fmt.Sprintf("pressing %q", keys), chromedp.KeyEvent(keys))
}

// Tell evaluates an expression of JavaScript that gives a text.
func (b *Tab) Tell(js string) string {
	b.t.Helper()
	text, err := evaluate[string](b, js)
	if err != nil {
		b.t.Fatalf("%s: %v", js, err)
	}
	return text
}

// Await waits until an expression of JavaScript is true, over as many pages as it takes.
func (b *Tab) Await(what, js string) {
	b.t.Helper()
	again := time.NewTicker(50 * time.Millisecond)
	defer again.Stop()
	limit := time.After(stepIn)
	for {
		ok, err := evaluate[bool](b, "!!("+js+")")
		if err == nil && ok {
			return
		}
		select {
		case <-again.C:
		case <-limit:
			b.t.Fatalf("did not come: %s (%s; %v); the page:\n%s", what, js, err, b.words())
		}
	}
}

// AwaitText waits until what a CSS selector finds holds a text.
func (b *Tab) AwaitText(css, text string) {
	b.t.Helper()
	b.Await(fmt.Sprintf("%q in %s", text, css), fmt.Sprintf("(document.querySelector(%q)?.textContent ?? '').replaceAll('\\u00a0', ' ').includes(%q)", css, text))
}

// words of the page, for a failure's report.
func (b *Tab) words() string {
	text, err := evaluate[string](b, "location.href + '\\n' + document.body.innerText")
	if err != nil {
		return err.Error()
	}
	return text
}

func evaluate[T any](b *Tab, js string) (T, error) {
	ctx, cancel := context.WithTimeout(b.ctx, stepIn)
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[T](js))
}

// Size sets the window, in CSS pixels.
func (b *Tab) Size(wide, high int64) {
	b.t.Helper()
	b.do("sizing", chromedp.EmulateViewport(wide, high))
}

// Scheme is what the browser asks pages for: "light" or "dark".
func (b *Tab) Scheme(name string) {
	b.t.Helper()
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}}})
}

// Scripts lets the pages' own scripts run, or not.
func (b *Tab) Scripts(on bool) {
	b.t.Helper()
	call(b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
}
