// Package saidtest keeps what a program under test prints or logs, while it does.
package saidtest

import (
	"bytes"
	"strings"
	"sync"
)

// Text is what several goroutines say. The zero value is empty.
type Text struct {
	mu   sync.Mutex
	text bytes.Buffer
}

// Write takes what is said; it never fails.
func (t *Text) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.text.Write(b)
}

// String is what was said so far.
func (t *Text) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.text.String()
}

// Count is how often a word was said so far.
func (t *Text) Count(word string) int { return strings.Count(t.String(), word) }
