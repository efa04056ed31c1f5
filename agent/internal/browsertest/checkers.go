package browsertest

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// fetched is the path of a file that .ci/need fetched, by its path below node_modules.
func fetched(t testing.TB, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	for err == nil {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(dir, ".ci", "page", "node_modules", filepath.FromSlash(name))
	if _, err := os.Stat(path); err != nil {
		t.Fatalf("not checked: %s is missing (make need fetches it): %v", name, err)
	}
	return path
}

// Report is what axe-core says of a page.
type Report struct {
	Violations []Finding
	Unsure     []Finding // what it leaves to a person
	Passed     int       // rules that found something to look at and nothing wrong
}

// Finding is one rule's.
type Finding struct {
	ID, Help string
	Nodes    []string
}

// axeJS runs every rule that axe-core switches on by itself, WCAG 2.2 A and AA and good
// practice, and says it shortly.
const axeJS = `axe.run(document, {resultTypes: ["violations", "incomplete", "passes"]}).then((r) => {
  const short = (all) => all.map((x) => ({ID: x.id, Help: x.help, Nodes: x.nodes.map((n) => n.html.slice(0, 160) + " " + (n.any[0]?.message ?? n.all[0]?.message ?? n.none[0]?.message ?? ""))}));
  return {Violations: short(r.violations), Unsure: short(r.incomplete), Passed: r.passes.length};
})`

// Axe holds the page as it is shown against axe-core's rules. The debugger brings it in,
// which no policy of the page binds.
func (b *Tab) Axe() Report {
	b.t.Helper()
	source, err := os.ReadFile(fetched(b.t, "axe-core/axe.min.js"))
	if err != nil {
		b.t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(b.ctx, stepIn)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := chromedp.Evaluate[*runtime.RemoteObject](string(source)+"\n0")(ctx, target)
		return err
	})); err != nil {
		b.t.Fatalf("bringing axe-core in: %v", err)
	}
	r, err := chromedp.Run(ctx, chromedp.Evaluate[Report](axeJS, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("axe-core: %v", err)
	}
	return r
}

// String lists findings.
func (f Finding) String() string {
	return f.ID + ", " + f.Help + ":\n  " + strings.Join(f.Nodes, "\n  ")
}

// Markup holds pages, by their names, against the Nu HTML checker, the validator that the
// World Wide Web Consortium runs, and lists what it finds, warnings too.
func Markup(t testing.TB, pages map[string]string) []string {
	t.Helper()
	jar := fetched(t, "vnu-jar/build/dist/vnu.jar")
	dir := t.TempDir()
	for name, text := range pages {
		if err := os.WriteFile(filepath.Join(dir, name+".html"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	check := exec.CommandContext(ctx, "java", "-Xss4m", "-jar", jar, "--format", "json", "--exit-zero-always", "--skip-non-html", dir)
	var out bytes.Buffer
	check.Stderr = &out
	if err := check.Run(); err != nil {
		t.Fatalf("the HTML checker did not run: %v\n%s", err, out.String())
	}
	return found(t, out.Bytes())
}

func found(t testing.TB, report []byte) (all []string) {
	t.Helper()
	var r struct {
		Messages []struct {
			Type, URL, Message, Extract string
			LastLine                    int
		}
	}
	if err := json.Unmarshal(report, &r); err != nil {
		t.Fatalf("the HTML checker's report: %v\n%s", err, report)
	}
	for _, m := range r.Messages {
		all = append(all, fmt.Sprintf("%s line %d: %s: %s (%s)", filepath.Base(m.URL), m.LastLine, m.Type, m.Message, m.Extract))
	}
	return all
}
