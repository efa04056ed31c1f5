package page

import (
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"time"

	"duskloop/sensors/quantity"
)

// taste is how one browser wants its figures: one switch, remembered there.
type taste struct {
	units quantity.Units
	half  bool // 12-hour clock
	zone  *time.Location
}

// tastes are the words of the switch, kept in a cookie.
var tastes = []struct {
	word, says string
	units      quantity.Units
	half       bool
}{
	{"si24", "°C, litres, 24 h", quantity.SI, false},
	{"si12", "°C, litres, 12 h", quantity.SI, true},
	{"us12", "°F, gallons, 12 h", quantity.US, true},
	{"us24", "°F, gallons, 24 h", quantity.US, false},
}

// tasteCookie is its name.
const tasteCookie = "figures"

// tasteOf a request: the browser's own, else the greenhouse file's units by a 24-hour clock,
// or in the US units by a 12-hour one.
func tasteOf(r *http.Request, h *Home) taste {
	t := taste{units: h.Units, half: h.Units == quantity.US, zone: h.Zone}
	if c, err := r.Cookie(tasteCookie); err == nil {
		for _, x := range tastes {
			if x.word == c.Value {
				t.units, t.half = x.units, x.half
			}
		}
	}
	return t
}

// figures are those of the taste.
func (t taste) figures() Figures { return Figures{t.units, t.half} }

// word of the taste.
func (t taste) word() string {
	for _, x := range tastes {
		if x.units == t.units && x.half == t.half {
			return x.word
		}
	}
	return tastes[0].word
}

// temp is a temperature to a degree in °F and a tenth in °C.
func (t taste) temp(c quantity.Celsius) string {
	if t.units == quantity.US {
		return fmt.Sprintf("%.0f\u00a0°F", c.Fahrenheit())
	}
	return fmt.Sprintf("%.1f\u00a0°C", float64(c))
}

// clock is a time of day.
func (t taste) clock(at time.Time) string {
	if t.half {
		return at.In(t.zone).Format("3:04\u00a0pm")
	}
	return at.In(t.zone).Format("15:04")
}

// day is a date in words.
func (t taste) day(at time.Time) string { return at.In(t.zone).Format("Monday 2 January") }

// hhmm are times of day as the documents write them.
var hhmm = regexp.MustCompile(`\b([01]\d|2[0-3]):([0-5]\d)\b`)

// timed turns the times of day in a sentence into the browser's own clock.
func (t taste) timed(text string) string {
	if !t.half {
		return text
	}
	return hhmm.ReplaceAllStringFunc(text, func(s string) string {
		hour, _ := strconv.Atoi(s[:2])
		half := "am"
		if hour >= 12 {
			half = "pm"
		}
		return fmt.Sprintf("%d%s\u00a0%s", (hour+11)%12+1, s[2:], half)
	})
}

// remember answers the switch: the browser keeps the word.
func (s *Server) remember(w http.ResponseWriter, r *http.Request) {
	word := r.FormValue("figures")
	for _, x := range tastes {
		if x.word == word {
			http.SetCookie(w, &http.Cookie{Name: tasteCookie, Value: word, Path: "/", MaxAge: 10 * 365 * 86400, HttpOnly: true, SameSite: http.SameSiteLaxMode})
		}
	}
	http.Redirect(w, r, backTo(r.FormValue("back")), http.StatusSeeOther)
}

// views are what can be gone back to.
var views = regexp.MustCompile(`^/(thresholds|hand|probes|record|enter|day/\d{4}-\d\d-\d\d)?$`)

// backTo is the view that a form came from, else the first page: never another's address.
func backTo(path string) string {
	switch {
	case path == "/thresholds/make":
		return "/thresholds"
	case views.MatchString(path):
		return path
	}
	return "/"
}

// unit is the space between a figure and what follows it, which must not be broken.
var unit = regexp.MustCompile(`(\d) (\S)`)

// nb holds figures and their units together.
func nb(text string) string { return unit.ReplaceAllString(text, "$1\u00a0$2") }
