package page

import (
	"sync"
)

// hub holds the latest moment, and lets any number wait for the next. The loop that shows
// one never waits.
type hub struct {
	mu     sync.Mutex
	latest *Moment
	pasts  map[string]past
	next   chan struct{} // closed when the next one is here
}

func newHub() *hub { return &hub{pasts: make(map[string]past), next: make(chan struct{})} }

// show hands a moment over.
func (h *hub) show(m *Moment) {
	h.mu.Lock()
	defer h.mu.Unlock()
	pasts := make(map[string]past, len(m.Places)) // readers keep the old one
	for _, p := range m.Places {
		pasts[p.Name] = h.pasts[p.Name]
		if p.Known && p.Age < trendKept {
			pasts[p.Name] = h.pasts[p.Name].add(m.At, float64(p.C))
		}
	}
	h.latest, h.pasts = m, pasts
	close(h.next)
	h.next = make(chan struct{})
}

// look is the latest moment, nil before the first, its trends, and what is closed when
// another is here.
func (h *hub) look() (*Moment, map[string]past, <-chan struct{}) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.latest, h.pasts, h.next
}
