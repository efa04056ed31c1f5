package page

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"time"

	"duskloop/agent/picture"
	"duskloop/sensors/quantity"
)

// How long a picture of the night and one of a day stay as they are, and how many days the
// first page lists. Chosen.
const (
	nightKept = 2 * time.Minute
	dayKept   = 10 * time.Minute
	daysShown = 14
)

// frontOf a moment, without picture and days.
func (s *Server) frontOf(m *Moment, pasts map[string]past, t taste) front {
	x := front{Sentence: m.sentence(t)}
	x.Lead, x.Grim = m.lead(t, s.home.Minimum())
	if m != nil {
		x.Calm, x.Advice = !x.Grim && m.foreseen(), m.advice(x.Grim, t)
		x.Alerts, x.Doing, x.Rows, x.Orders = m.alerts(t), m.doing(t), m.rows(pasts, t), m.orders(t)
	}
	x.speak()
	return x
}

// nightName tells pictures of the night apart that must not stand for one another: by what
// bars heat and by the crop's minimum, whoever changed it.
func (s *Server) nightName(m *Moment, t taste) string {
	return fmt.Sprintf("night/%s/%s/%v", t.word(), m.Decision.Facts.Barred.Code(), float64(s.home.Minimum()))
}

// nightSlot is how often a picture of the night that stands open is worth another. Chosen.
const nightSlot = 5 * time.Minute

// nightStamp changes when there is another picture of the night to be had: at once before
// the bar when what it rests on has changed, and after it as time goes.
func (s *Server) nightStamp(m *Moment) string {
	return fmt.Sprintf("%s %v|%d", m.Decision.Facts.Barred.Code(), float64(s.home.Minimum()), m.At.Unix()/int64(nightSlot.Seconds()))
}

// drawnNight is the picture; empty where there is none.
func (s *Server) drawnNight(ctx context.Context, m *Moment, t taste) template.HTML {
	text, err := s.drawn.get(ctx, s.nightName(m, t), m.At, nightKept, func(ctx context.Context) (picture.Picture, error) { return s.house.Night(ctx, m, t.figures()) })
	if err != nil && !errors.Is(err, picture.ErrNothing) {
		s.log.Error("page", "picture of the night", err)
	}
	return text
}

// night answers the picture alone, for a page that stands open.
func (s *Server) night(w http.ResponseWriter, r *http.Request) {
	m, _, _ := s.hub.look()
	if m == nil {
		http.NotFound(w, r)
		return
	}
	ctx, cancel := bounded(r)
	defer cancel()
	text := s.drawnNight(ctx, m, tasteOf(r, &s.home))
	if text == "" {
		http.NotFound(w, r)
		return
	}
	send(w, r, http.StatusOK, "text/html; charset=utf-8", []byte(text))
}

// front answers the first page.
func (s *Server) front(w http.ResponseWriter, r *http.Request) {
	t := tasteOf(r, &s.home)
	m, pasts, _ := s.hub.look()
	x := s.frontOf(m, pasts, t)
	x.shell = s.shell(r, "Tonight")
	x.Stream = staged(stageFront, "")
	ctx, cancel := bounded(r)
	defer cancel()
	if m != nil {
		x.Night, x.Stamp = s.drawnNight(ctx, m, t), s.nightStamp(m)
		days, err := s.house.Days(ctx, m.At, daysShown)
		if err != nil {
			s.log.Error("page", "days", err)
		}
		x.Days = dailies(days, s.home.Minimum(), t)
	}
	s.show(w, r, http.StatusOK, "front.html", x)
}

// daily is a day in words.
type daily struct {
	Date, Says, Link string
	Bar              *bar
	Cold             bool
}

// bar is from the coldest to the warmest, in hundredths of the width that all days share.
type bar struct{ From, Wide, Minimum int }

func dailies(days []Day, minimum quantity.Celsius, t taste) []daily {
	low, high := minimum-2, minimum+10
	for _, d := range days {
		if d.Known {
			low, high = min(low, d.Lowest), max(high, d.Highest)
		}
	}
	at := func(c quantity.Celsius) int { return int(100*float64(c-low)/float64(high-low) + 0.5) }
	var all []daily
	for _, d := range days {
		x := daily{Date: d.Noon.In(t.zone).Format("Mon 2 Jan"), Link: "/day/" + d.Noon.In(t.zone).Format(time.DateOnly), Says: "nothing recorded"}
		if d.Known {
			x.Bar = &bar{From: at(d.Lowest), Wide: max(1, at(d.Highest)-at(d.Lowest)), Minimum: at(minimum)}
			x.Says = fmt.Sprintf("coldest %s at %s; pump ran %s", t.temp(d.Coldest), t.clock(d.ColdestAt), ranFor(d.Ran))
			x.Cold = d.Squared > 0
			if x.Cold {
				x.Says += "; too cold"
			}
		}
		all = append(all, x)
	}
	return all
}

func ranFor(d time.Duration) string {
	if d < time.Minute {
		return "not at all"
	}
	if d < 2*time.Hour {
		return fmt.Sprintf("%.0f\u00a0min", d.Minutes())
	}
	return fmt.Sprintf("%.1f\u00a0h", d.Hours())
}

// day answers one that is over.
func (s *Server) day(w http.ResponseWriter, r *http.Request) {
	t := tasteOf(r, &s.home)
	day, err := time.ParseInLocation(time.DateOnly, r.PathValue("day"), s.home.Zone)
	if err != nil || day.Year() < 2000 || day.Year() > 2200 {
		s.lost(w, r)
		return
	}
	ctx, cancel := bounded(r)
	defer cancel()
	x := struct {
		shell
		Picture      any
		Before, Next string
	}{shell: s.shell(r, day.Format("Monday 2 January 2006")), Before: day.AddDate(0, 0, -1).Format(time.DateOnly), Next: day.AddDate(0, 0, 1).Format(time.DateOnly)}
	noon := day.Add(12 * time.Hour)
	now := s.now()
	if m, _, _ := s.hub.look(); m != nil {
		now = m.At
	}
	drawn, err := s.drawn.get(ctx, r.PathValue("day")+"/"+t.word(), now, dayKept, func(ctx context.Context) (picture.Picture, error) { return s.house.Day(ctx, noon, t.figures()) })
	switch {
	case errors.Is(err, picture.ErrNothing):
		x.Said = "Nothing was recorded on this day."
	case err != nil:
		s.log.Error("page", "picture of a day", err)
		x.Said = "The record could not be read."
	default:
		x.Picture = drawn
	}
	s.show(w, r, http.StatusOK, "day.html", x)
}

// lost answers what is not there.
func (s *Server) lost(w http.ResponseWriter, r *http.Request) {
	x := s.shell(r, "Not here")
	x.Said = "There is no such page."
	s.show(w, r, http.StatusNotFound, "plain.html", struct{ shell }{x})
}
