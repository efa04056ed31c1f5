package browsertest

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// ShotsVar names the environment variable that names the folder where pictures of the pages
// are kept; without it they go with the test.
const ShotsVar = "DUSKLOOP_SHOTS"

// Shot keeps a picture of the whole page as NAME.png.
func (b *Tab) Shot(name string) {
	b.t.Helper()
	b.keep(name, chromedp.FullScreenshot(100))
}

// Window keeps a picture of what the window shows of the page, as NAME.png.
func (b *Tab) Window(name string) {
	b.t.Helper()
	b.keep(name, chromedp.CaptureScreenshot())
}

func (b *Tab) keep(name string, shoot chromedp.Action[[]byte]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepIn)
	defer cancel()
	png, err := chromedp.Run(ctx, shoot)
	if err != nil {
		b.t.Fatalf("picture %s: %v", name, err)
	}
	dir := os.Getenv(ShotsVar)
	if dir == "" {
		dir = b.t.TempDir()
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// Wide lists what sticks out of the window to the right and can be seen there: on a
// telephone such a page slides about under the thumb. What scrolls within a box of its own
// does not.
func (b *Tab) Wide() string {
	b.t.Helper()
	return strings.TrimSpace(b.Tell(wideJS))
}

const wideJS = `(() => {
  const edge = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= edge) return "";
  return [...document.body.querySelectorAll("*")].filter((e) => e.getBoundingClientRect().right > edge + 0.5)
    .map((e) => e.tagName + "." + e.getAttribute("class") + " to " + e.getBoundingClientRect().right).join("\n") || "the page itself";
})()`

// Small lists buttons, fields and links apart from those within text that a thumb can hardly
// hit: WCAG 2.2, success criterion 2.5.8, asks for 24 by 24 CSS pixels.
func (b *Tab) Small() string {
	b.t.Helper()
	return b.Tell(smallJS)
}

const smallJS = `[...document.querySelectorAll("button, input:not([type=hidden]), select, summary, nav a, .days a")].filter((e) => {
  const r = e.getBoundingClientRect();
  return e.checkVisibility() && (r.width < 24 || r.height < 24);
}).map((e) => e.outerHTML.slice(0, 80)).join("\n")`

// call runs a command of the debugger's protocol.
func call[P, R any](b *Tab, command cdp.Command[P, R], params P) R {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepIn)
	defer cancel()
	r, err := chromedp.Call(ctx, command, params)
	if err != nil {
		b.t.Fatalf("%s: %v", command.Method, err)
	}
	return r
}
