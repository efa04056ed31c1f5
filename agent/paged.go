package agent

import (
	"context"
	"fmt"
	"net"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/page"
	"duskloop/agent/page/access"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// paged is the local page and what it is served by.
type paged struct {
	server *page.Server
	doors  *access.Keeper
	listen net.Listener
	file   *config.File
	now    atomic.Pointer[config.File] // with what was changed while running
	house  *housePage
}

// reading is who may read, in the door's terms.
var reading = map[config.Reading]access.Reading{
	config.ReadNear: access.Near, config.ReadClosed: access.Closed, config.ReadEverybody: access.Everybody,
}

// openPage takes the port that the file names; nil where it names none. The demo takes any
// other port where its own is taken.
func openPage(d *parts) (*paged, error) {
	f := d.File.Page
	if f.Listen == "none" {
		return nil, nil
	}
	p := &paged{file: d.File, house: newHousePage(d)}
	p.now.Store(d.File)
	p.house.file = &p.now
	p.server = page.New(page.Options{Home: p.home(d), House: p.house, Log: d.Log, Now: time.Now})
	var err error
	p.doors, err = access.Open(access.Options{
		Folder: d.dir, Reading: reading[f.Reading], Names: hostList(string(f.Names)), Free: page.Free(), Refused: p.server.Refused,
	})
	if err != nil {
		return nil, fmt.Errorf("the page's password: %w", err)
	}
	p.listen, err = net.Listen("tcp", string(f.Listen))
	if err != nil && d.Simulated {
		p.listen, err = net.Listen("tcp", "127.0.0.1:0")
	}
	if err != nil {
		return nil, fmt.Errorf("listening for the page: %w", err)
	}
	return p, nil
}

func hostList(text string) (names []string) {
	for _, n := range strings.Split(text, ",") {
		if n = strings.TrimSpace(n); n != "" {
			names = append(names, n)
		}
	}
	return names
}

// home is what never changes.
func (p *paged) home(d *parts) page.Home {
	return page.Home{
		Site: string(d.File.Site.Name), Loop: d.File.Loop().Name, Simulated: d.Simulated, Units: d.File.Site.Units, Zone: d.zone(),
		Minimum: func() quantity.Celsius { return p.now.Load().Loop().Crop.Minimum },
	}
}

// serve answers until ctx ends.
func (p *paged) serve(ctx context.Context, d *parts) {
	certificate, err := access.Certificate(string(p.file.Page.CertFile), string(p.file.Page.KeyFile))
	if err != nil {
		d.Log.Error("running without the page", "error", err)
		return
	}
	if err := access.Serve(ctx, p.listen, p.server.Handler(p.doors), certificate, d.Log); err != nil {
		d.Log.Error("page ended", "error", err)
	}
}

// address is how the page is opened: by the first of the grower's names where it listens
// to the whole network.
func (p *paged) address() string {
	scheme := "http"
	if p.file.Page.CertFile != "" {
		scheme = "https"
	}
	at := p.listen.Addr().(*net.TCPAddr)
	host := at.IP.String()
	if at.IP.IsUnspecified() {
		host = "127.0.0.1"
		if names := hostList(string(p.file.Page.Names)); len(names) > 0 {
			host = names[0]
		}
	}
	return scheme + "://" + net.JoinHostPort(host, strconv.Itoa(at.Port))
}

// greet says where it is, and how the password is set.
func (p *paged) greet(d *parts) {
	if p == nil {
		return
	}
	what := "page"
	if d.Simulated {
		what = "simulated page"
	}
	fmt.Fprintf(d.Out, "%s: %s/\n", what, p.address())
	if link := p.doors.Link(); link != "" {
		fmt.Fprintf(d.Out, "to change things on the %s, set its password once: %s/first?link=%s\n", what, p.address(), link)
	}
}

// showing hands each cycle to the page. It runs on the loop's goroutine.
func (p *paged) showing(d *parts) func(Cycle) {
	if p == nil {
		return func(Cycle) {}
	}
	return func(c Cycle) {
		p.now.Store(d.loop.File)
		p.house.at.Store(c.At.UnixMilli())
		p.server.Show(p.moment(d.loop, &c))
	}
}

// moment is a cycle as the page shows it.
func (p *paged) moment(l *Loop, c *Cycle) *page.Moment {
	m := &page.Moment{
		At: c.At, Period: l.File.Daemon.Period.Duration(), Simulated: l.Simulated, Decision: c.Decision, Meter: c.Inputs.Meter,
		Alerts: l.scribe.active(c.State), Hand: ordersOf(c.State.Hand), Told: make(map[quantity.Units][]string),
	}
	for code, at := range c.State.Active() {
		for _, u := range [...]quantity.Units{quantity.SI, quantity.US} {
			m.Told[u] = append(m.Told[u], control.Tell(&l.settings, c.State, c.Inputs, code, at, u))
		}
	}
	for _, place := range placesShown {
		id := l.File.Loop().Probes[place].ID
		if id == "" {
			continue
		}
		t := c.Inputs.Places[place]
		m.Places = append(m.Places, page.Place{
			Name: place.String(), Probe: string(id), Known: t.Ever, C: t.Value, Age: t.Age, Trouble: troubled(&t),
		})
	}
	m.Devices, m.Unseen = p.devices(l, c)
	m.Documents = p.documents(l, c, m.Alerts)
	return m
}

// placesShown is the order of places on the page: the crop's first.
var placesShown = [...]control.Place{control.Tunnel, control.Tank, control.Greenhouse, control.Outdoors, control.Bed, control.Coil, control.Return}

func troubled(t *control.Temperature) string {
	if t.Trouble == control.NoTrouble {
		return ""
	}
	return t.Cause
}

// documents are the state's own, as they go out by MQTT.
func (p *paged) documents(l *Loop, c *Cycle, alerts []wire.Active) page.Documents {
	decision := l.scribe.decision(c.At, c.Decision, l.settings.Units)
	d := page.Documents{Decision: &decision, Alerts: &wire.Alerts{Head: l.scribe.head(c.At), Active: alerts}}
	if report, err := l.reported(); err == nil {
		d.Readings = report
	}
	if a := c.Decision.Facts.Tonight; a.Way != night.Unasked && !a.Story.ColdestAt.IsZero() {
		story := l.scribe.story(c.At, &c.Decision.Facts, l.settings.Units)
		d.Tonight = &story
	}
	return d
}

// ordersOf a hand, in words.
func ordersOf(h control.Hand) (all []page.Order) {
	for _, x := range []struct {
		name, words string
		left        time.Duration
	}{
		{"run-pump", "pump and fans run", h.Pump}, {"run-fans", "the fans run", h.Fans},
		{"hold", "held off: nothing starts", h.Hold}, {"test", "a forced test is made or waits for its night", h.Test}, {"watch", "watch only: nothing is switched", h.Watch},
	} {
		if x.left > 0 {
			all = append(all, page.Order{Name: x.name, Words: x.words, Left: x.left})
		}
	}
	return all
}
