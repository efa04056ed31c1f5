package browsertest

import (
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Slow makes the browser's processor so many times as slow: 4 is about a cheap telephone
// beside a desk's computer.
func (b *Tab) Slow(times float64) {
	b.t.Helper()
	call(b, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: times})
}

// Print shows the page as it would be printed, or again as on a screen; the scheme stays.
func (b *Tab) Print(scheme string) {
	b.t.Helper()
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: "print", Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
}

// Hover moves the pointer to a place of what a CSS selector finds, in shares of its size.
func (b *Tab) Hover(css string, x, y float64) {
	b.t.Helper()
	b.do("showing "+css, chromedp.ScrollIntoView(chromedp.CSS(css)))
	box, err := evaluate[[]float64](b, `(() => { const r = document.querySelector(`+"`"+css+"`"+`).getBoundingClientRect(); return [r.left, r.top, r.width, r.height]; })()`)
	if err != nil {
		b.t.Fatalf("where %s is: %v", css, err)
	}
	b.do("pointing at "+css, chromedp.MouseEvent("mouseMoved", box[0]+x*box[2], box[1]+y*box[3]))
}

// Loaded is what a page took to be there.
type Loaded struct {
	First, Whole float64 // ms from the navigation to the first paint of anything, and to the load event
	Bytes        map[string]float64
}

// Loading tells what the page took over the network, its style and script too, a stream that
// is still open not.
func (b *Tab) Loading() Loaded {
	b.t.Helper()
	b.Await("the first paint and the load event", `performance.getEntriesByName("first-contentful-paint").length > 0 && performance.getEntriesByType("navigation")[0].loadEventEnd > 0`)
	l, err := evaluate[Loaded](b, `(() => {
	  const bytes = {};
	  for (const e of [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]) bytes[new URL(e.name).pathname] = e.transferSize;
	  return {First: performance.getEntriesByName("first-contentful-paint")[0].startTime, Whole: performance.getEntriesByType("navigation")[0].loadEventEnd, Bytes: bytes};
	})()`)
	if err != nil {
		b.t.Fatalf("what loading took: %v", err)
	}
	return l
}

// Sum of the bytes.
func (l Loaded) Sum() (sum float64) {
	for _, n := range l.Bytes {
		sum += n
	}
	return sum
}
