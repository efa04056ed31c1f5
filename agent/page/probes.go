package page

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// probeForm is the page of probes.
type probeForm struct {
	shell
	Listed devices
	Places []string
	Base   string
	Chosen string // the device that was asked about
	Naming *naming
}

// devices are those on the bus in words.
type devices struct {
	Rows  []probe
	Since string // when the view was opened
	Says  []string
}

// probe is one device, with how it moved since the view was opened.
type probe struct {
	ID, Place, Value, Moved, Read string
	Bad, Most                     bool
}

// base is what each device read when a view was opened, and when that was.
type base struct {
	at   time.Time
	read map[string]float64 // °C, by device
}

// baseNow is a moment's.
func baseNow(m *Moment) base {
	b := base{at: m.At, read: make(map[string]float64)}
	for _, d := range m.Devices {
		if d.Known {
			b.read[d.ID] = float64(d.C)
		}
	}
	return b
}

// String is the base as it stands in a link: seconds, then a device and its °C each.
func (b base) String() string {
	parts := []string{strconv.FormatInt(b.at.Unix(), 10)}
	for id, c := range b.read {
		parts = append(parts, id+"_"+strconv.FormatFloat(c, 'f', 2, 64))
	}
	slices.Sort(parts[1:])
	return strings.Join(parts, ".-.")
}

// mostDevices are taken out of a link: more are on no bus.
const mostDevices = 64

// baseOf a request; empty where it brings none that can be read.
func baseOf(r *http.Request) base {
	b := base{read: make(map[string]float64)}
	parts := strings.SplitN(r.FormValue("base"), ".-.", mostDevices+2)
	seconds, err := strconv.ParseInt(parts[0], 10, 64)
	if err != nil || seconds < 0 || seconds > 1<<40 {
		return b
	}
	b.at = time.Unix(seconds, 0)
	for _, p := range parts[1:] {
		id, text, _ := strings.Cut(p, "_")
		if c, err := strconv.ParseFloat(text, 64); err == nil && math.Abs(c) < 1000 {
			b.read[id] = c
		}
	}
	return b
}

// movedAtLeast is what is called moved, K: a warm hand does that within seconds. Chosen.
const movedAtLeast = 0.5

// devicesOf a moment against a base.
func (s *Server) devicesOf(m *Moment, b base, t taste) devices {
	x := devices{Says: m.deviceWords()}
	if !b.at.IsZero() {
		x.Since = t.clock(b.at)
	}
	most, by := -1, movedAtLeast
	for i, d := range m.Devices {
		p := probe{ID: d.ID, Place: d.Place, Value: "not known", Read: d.Trouble, Bad: !d.Known}
		if d.Place == "" {
			p.Place = "not in the file"
		}
		if d.Known {
			p.Value, p.Read = t.temp(d.C), read(d.Age)
			p.Moved = "not known before"
			if from, ok := b.read[d.ID]; ok {
				p.Moved = t.change(float64(d.C) - from)
				if far := math.Abs(float64(d.C) - from); far >= by {
					most, by = i, far
				}
			}
		}
		x.Rows = append(x.Rows, p)
	}
	if most >= 0 {
		x.Rows[most].Most = true
	}
	return x
}

// deviceWords are what must be known to read the list right.
func (m *Moment) deviceWords() (all []string) {
	if m.Decision.Outputs.Pump > 0 {
		all = append(all, "The pump is on: coil and return move by themselves, and the tunnel with them. Wait until it rests, or go by the one in your hand alone.")
	}
	if m.Unseen != "" {
		all = append(all, m.Unseen)
	}
	return all
}

// naming is what is to be written where a device is given a place.
type naming struct {
	Device, Place, Section, Line string
	Instead                      string // the device that is there now
	Out                          []string
	Faulty                       string
}

// namingOf a request; nil where it asks for none.
func (s *Server) namingOf(r *http.Request, m *Moment) *naming {
	device, place := r.FormValue("device"), r.FormValue("place")
	if device == "" && place == "" {
		return nil
	}
	n := &naming{Device: device, Place: place, Section: "loop." + s.home.Loop + ".probes"}
	known := slices.ContainsFunc(m.Devices, func(d Device) bool { return d.ID == device })
	if !known || !slices.Contains(placeNames(), place) {
		n.Faulty = "Choose one of the probes that are listed, and a place."
		return n
	}
	n.Line = fmt.Sprintf("%s = %q", place, device)
	for _, d := range m.Devices {
		switch {
		case d.ID == device && d.Place != "" && d.Place != place:
			n.Out = append(n.Out, fmt.Sprintf("%s = %q", d.Place, d.ID))
		case d.Place == place && d.ID != device:
			n.Instead = d.ID
		}
	}
	return n
}

// placeNames are all places, as the file has them.
func placeNames() (all []string) {
	for p := range control.Places {
		all = append(all, p.String())
	}
	return all
}

func (s *Server) probes(w http.ResponseWriter, r *http.Request) {
	t := tasteOf(r, &s.home)
	s.house.Seek()
	x := probeForm{shell: s.shell(r, "Probes"), Places: placeNames()}
	if m, _, _ := s.hub.look(); m != nil {
		b := baseOf(r)
		if b.at.IsZero() {
			b = baseNow(m)
		}
		x.Base, x.Listed, x.Naming = b.String(), s.devicesOf(m, b, t), s.namingOf(r, m)
		x.Stream = staged(stageProbes, "base="+url.QueryEscape(x.Base))
	}
	x.Chosen = r.FormValue("device")
	s.show(w, r, http.StatusOK, "probes.html", x)
}

// change of a temperature, with its sign.
func (t taste) change(k float64) string {
	unit := "K"
	if t.units == quantity.US {
		k, unit = 1.8*k, "°F"
	}
	if math.Abs(k) < 0.05 {
		return "0.0\u00a0" + unit
	}
	return fmt.Sprintf("%+.1f\u00a0%s", k, unit)
}
