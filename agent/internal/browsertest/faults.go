package browsertest

import (
	"fmt"
	"regexp"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
)

// policyWatch makes what the content security policy stopped known beside the browser's own
// log. It is put in by the debugger, which no policy binds.
const policyWatch = `document.addEventListener("securitypolicyviolation", (e) => console.error("policy stopped " + e.violatedDirective + " " + e.blockedURI));`

// faults are what the browser complained of: errors of scripts, of loading, and what the
// policy stopped.
type faults struct {
	mu       sync.Mutex
	all      []string
	expected []*regexp.Regexp
}

func newFaults() *faults { return &faults{} }

// hear takes in what the browser tells. It must not wait.
func (f *faults) hear(event any) {
	switch e := event.(type) {
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			f.add(fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL))
		}
	case *runtime.EventExceptionThrown:
		f.add(fmt.Sprintf("exception: %s %+v", e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			f.add(fmt.Sprintf("console: %s", said(e.Args)))
		}
	}
}

func said(args []*runtime.RemoteObject) (text string) {
	for _, a := range args {
		text += string(a.Value) + a.Description + " "
	}
	return text
}

func (f *faults) add(text string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.all = append(f.all, text)
}

// Expect names complaints that belong to the test, as a regular expression: a refusal's
// answer is an error to the browser.
func (b *Tab) Expect(pattern string) {
	b.faults.mu.Lock()
	defer b.faults.mu.Unlock()
	b.faults.expected = append(b.faults.expected, regexp.MustCompile(pattern))
}

// Complaints are those so far that nothing names.
func (b *Tab) Complaints() []string { return b.faults.unexpected() }

func (f *faults) unexpected() (all []string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, text := range f.all {
		if !f.named(text) {
			all = append(all, text)
		}
	}
	return all
}

func (f *faults) named(text string) bool {
	for _, p := range f.expected {
		if p.MatchString(text) {
			return true
		}
	}
	return false
}

// tell fails the test with what nothing names.
func (f *faults) tell(t testing.TB) {
	for _, text := range f.unexpected() {
		t.Errorf("the browser complained: %s", text)
	}
}
