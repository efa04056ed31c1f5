package page

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/page/access"
	"duskloop/agent/picture"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// house is a greenhouse that answers as it is told.
type house struct {
	commands []string
	refuse   string // why commands are refused; empty: they are not
	fails    error
	faults   map[string]string
	nights   []Replayed
	sought   int
	drawn    int              // pictures of a night
	warmer   quantity.Celsius // somebody else changed the minimum by that
}

func (h *house) Submit(_ context.Context, command []byte, who string) (wire.Answer, error) {
	h.commands = append(h.commands, who+": "+string(command))
	return wire.Answer{Accepted: h.refuse == "", Reason: h.refuse}, h.fails
}

func (h *house) Night(context.Context, *Moment, Figures) (picture.Picture, error) {
	h.drawn++
	return &picture.Curves{Title: "a night", Lines: []picture.Curve{{Name: "tunnel", Points: []picture.Spot{{X: 0, Y: 1}, {X: 2, Y: 3}}}}}, h.fails
}

func (h *house) Day(_ context.Context, day time.Time, _ Figures) (picture.Picture, error) {
	if day.Year() != 2026 {
		return nil, picture.ErrNothing
	}
	return h.Night(context.Background(), nil, Figures{})
}

func (h *house) Days(context.Context, time.Time, int) ([]Day, error) {
	noon := time.Date(2026, 1, 15, 12, 0, 0, 0, zone)
	return []Day{
		{Noon: noon, Known: true, Coldest: 3, Lowest: 3, Highest: 18, ColdestAt: noon.Add(19 * time.Hour), Ran: 90 * time.Minute, Squared: 12},
		{Noon: noon.AddDate(0, 0, -1)},
	}, h.fails
}

func (h *house) Export(_ context.Context, w io.Writer, from, to time.Time, events bool) error {
	_, err := fmt.Fprintf(w, "%s,%s,%v\n", from.Format(time.DateOnly), to.Format(time.DateOnly), events)
	return errors.Join(err, h.fails)
}

func (h *house) Seek() { h.sought++ }

func (h *house) Settings(u quantity.Units) []Setting {
	return []Setting{
		{Name: "crop.minimum", About: "Tunnel air.", Value: (5 + h.warmer).In(u), Allowed: "-10 °C to 25 °C"},
		{Name: "carry.fan_margin", About: "Fans.", Value: quantity.Kelvin(1.5).In(u), Allowed: "0 K to 10 K"},
		{Name: "tank.hot", About: "Sheds.", Value: quantity.Celsius(80).In(u), Allowed: "40 °C to 95 °C"},
		{Name: "battery.cut_off", About: "Stops.", Value: quantity.Volt(11.9).String(), Allowed: "10.5 V to 13 V"},
		{Name: "carry.start_difference", About: "Starts.", Value: quantity.Kelvin(8).In(u), Allowed: "1 K to 40 K"},
	}
}

// Same compares as the greenhouse file does.
func (h *house) Same(name, a, b string) bool { return config.Demo().Same(name, a, b) }

// Stands compares with Settings.
func (h *house) Stands(name, text string) bool {
	for _, u := range []quantity.Units{quantity.SI, quantity.US} {
		for _, x := range h.Settings(u) {
			if x.Name == name && h.Same(name, x.Value, text) {
				return true
			}
		}
	}
	return false
}

func (h *house) Preview(_ context.Context, changed map[string]string, u quantity.Units) (Preview, error) {
	p := Preview{Faults: h.faults, Nights: h.nights, Words: []string{"It would have been warmer until 05:10."}, Tonight: "Tonight, changed: it is warm at 05:10."}
	for _, x := range h.Settings(u) {
		if to, ok := changed[x.Name]; ok {
			p.Changes = append(p.Changes, Change{x.Name, x.Value, to})
		}
	}
	return p, h.fails
}

var zone = time.FixedZone("UTC-5", -5*3600)

// now is when the tests take place, by the machine's clock.
var now = time.Date(2026, 1, 16, 3, 4, 0, 0, time.UTC)

// moment is a cold evening with a plan.
func moment(at time.Time) *Moment {
	m := &Moment{At: at, Period: 10 * time.Second, Simulated: true}
	m.Decision.Facts = control.Facts{Tank: 52, Air: 6.6, TankOK: true, AirOK: true, Charge: 0.74, Band: 0.04, ChargeOK: true, Reserve: 0.5}
	m.Decision.Facts.Tonight = night.Advice{Way: night.Planned, Cold: true, Story: night.Story{
		Coldest: 5.2, Unheated: 1, ColdestAt: at.Add(8 * time.Hour), Low: 4.8, High: 6.5, Lasts: at.Add(7 * time.Hour), Charge: 0.74, ChargeEnd: 0.51,
	}}
	m.Places = []Place{
		{Name: "tunnel", Probe: "28-1", Known: true, C: 6.6}, {Name: "tank", Probe: "28-2", Known: true, C: 52, Age: 5 * time.Minute},
		{Name: "bed", Probe: "28-3", Trouble: "no answer"},
	}
	m.Alerts = []wire.Active{{Code: "x", Severity: control.Critical, Text: "Tank <hot> since 22:04."}}
	m.Hand = []Order{{Name: "watch", Words: "watch only: nothing is switched", Left: time.Hour}}
	m.Documents.Decision = &wire.Decision{Mode: control.Resting}
	return m
}

// bench is a page with its house.
type bench struct {
	*Server
	house   *house
	doors   *access.Keeper
	handler http.Handler
	cookie  *http.Cookie
	taste   *http.Cookie
	at      time.Time
}

func newBench(t *testing.T) *bench {
	t.Helper()
	b := &bench{house: &house{}, at: now}
	b.Server = New(Options{
		Home:  Home{Site: "Alder <Hollow>", Loop: "bench", Simulated: true, Zone: zone, Minimum: func() quantity.Celsius { return 5 }},
		House: b.house, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Now: func() time.Time { return b.at },
	})
	var err error
	b.doors, err = access.Open(access.Options{Folder: t.TempDir(), Now: func() time.Time { return b.at }, Free: Free(), Refused: b.Refused})
	require.NoError(t, err)
	b.handler = b.Handler(b.doors)
	return b
}

// ask is one request from this machine.
func (b *bench) ask(method, path string, form url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://127.0.0.1:8480"+path, strings.NewReader(form.Encode()))
	r.RemoteAddr = "127.0.0.1:4711"
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if b.cookie != nil {
		r.AddCookie(b.cookie)
	}
	if b.taste != nil {
		r.AddCookie(b.taste)
	}
	r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8480}))
	w := httptest.NewRecorder()
	b.handler.ServeHTTP(w, r)
	return w
}

// enter sets a password and enters by it.
func (b *bench) enter(t *testing.T) {
	t.Helper()
	w := b.ask("POST", "/first", url.Values{"token": {b.doors.Link()}, "password": {"eight letters"}})
	require.Equal(t, http.StatusSeeOther, w.Code, w.Body.String())
	require.NotEmpty(t, w.Result().Cookies())
	b.cookie = w.Result().Cookies()[0]
}
