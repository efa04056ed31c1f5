package page

import (
	"fmt"
	"net/http"
	"time"
)

// recordForm is the page of what can be taken away.
type recordForm struct {
	shell
	From, To string
	Fault    string
}

// lastDays are offered at first.
const lastDays = 7

func (s *Server) recordForm(r *http.Request) recordForm {
	x := recordForm{shell: s.shell(r, "Record")}
	now := s.now()
	if m, _, _ := s.hub.look(); m != nil {
		now = m.At
	}
	x.To, x.From = now.In(s.home.Zone).Format(time.DateOnly), now.AddDate(0, 0, -lastDays).In(s.home.Zone).Format(time.DateOnly)
	return x
}

func (s *Server) record(w http.ResponseWriter, r *http.Request) {
	s.show(w, r, http.StatusOK, "record.html", s.recordForm(r))
}

// longestExport is what one file may hold.
const longestExport = 400 * 24 * time.Hour

// dayOr is a day as it was written, nothing where it is none: a field for days holds no
// other.
func dayOr(day string, err error) string {
	if err != nil {
		return ""
	}
	return day
}

// export writes days of the record as CSV, the last day too.
func (s *Server) export(w http.ResponseWriter, r *http.Request) {
	x := s.recordForm(r)
	x.From, x.To = r.FormValue("from"), r.FormValue("to")
	from, err1 := time.ParseInLocation(time.DateOnly, x.From, s.home.Zone)
	to, err2 := time.ParseInLocation(time.DateOnly, x.To, s.home.Zone)
	switch {
	case err1 != nil || err2 != nil:
		x.Fault = "Write both days as 2026-01-15."
	case to.Before(from):
		x.Fault = "The last day is before the first."
	case to.Sub(from) > longestExport:
		x.Fault = "At most 400 days at once."
	}
	if x.Fault != "" {
		x.From, x.To = dayOr(x.From, err1), dayOr(x.To, err2)
		s.show(w, r, http.StatusUnprocessableEntity, "record.html", x)
		return
	}
	events := r.FormValue("what") == "events"
	name := map[bool]string{false: "readings", true: "events"}[events]
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s-%s-%s.csv"`, name, x.From, x.To))
	out := &patient{w: w, c: http.NewResponseController(w)}
	if err := s.house.Export(r.Context(), out, from, to.AddDate(0, 0, 1), events); err != nil {
		s.log.Error("page", "export", err)
		panic(http.ErrAbortHandler) // half a file must not look like a whole one
	}
}

// patient writes for as long as the reader goes on reading.
type patient struct {
	w http.ResponseWriter
	c *http.ResponseController
}

// Write gives each write its own time.
func (p *patient) Write(b []byte) (int, error) {
	_ = p.c.SetWriteDeadline(time.Now().Add(answerIn)) // a plain recorder has none
	return p.w.Write(b)
}
