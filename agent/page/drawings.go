package page

import (
	"bytes"
	"context"
	"html/template"
	"sync"
	"time"

	"duskloop/agent/picture"
)

// drawings keeps pictures for a while: one of the night costs a day of the record.
type drawings struct {
	mu  sync.Mutex
	all map[string]drawing
}

type drawing struct {
	text  template.HTML
	until time.Time
}

func newDrawings() *drawings { return &drawings{all: make(map[string]drawing)} }

// mostDrawings are kept at once.
const mostDrawings = 40

// drop lets all go: something was changed that they show.
func (d *drawings) drop() {
	d.mu.Lock()
	defer d.mu.Unlock()
	clear(d.all)
}

// get a picture by its name, drawn anew where it is older than keep. Only one is drawn at
// a time: a small board has little room for more.
func (d *drawings) get(ctx context.Context, name string, now time.Time, keep time.Duration, draw func(context.Context) (picture.Picture, error)) (template.HTML, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if x, ok := d.all[name]; ok && now.Before(x.until) {
		return x.text, nil
	}
	p, err := draw(ctx)
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	if err := picture.InPage(&b, p, "p"); err != nil {
		return "", err
	}
	if len(d.all) >= mostDrawings {
		clear(d.all)
	}
	text := template.HTML(b.String()) // our own drawing, its words escaped
	d.all[name] = drawing{text, now.Add(keep)}
	return text, nil
}
