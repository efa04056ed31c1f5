package page

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// thresholdForm is the page of settings.
type thresholdForm struct {
	shell
	Groups  []group
	Preview *previewed
	Fault   string
}

// group is a section's settings.
type group struct {
	Name     string
	Settings []field
	Open     bool
}

// field is a setting with what was written into it.
type field struct {
	Setting
	ID, Label, Written, Fault string
	Changed                   bool
}

// previewed is a preview in words.
type previewed struct {
	Says  []string
	Head  []string
	Rows  [][]string
	Apply bool
}

// sections that stand open: what growers change most.
var sectionsOpen = map[string]bool{"carry": true, "crop": true}

// named is a setting's key, as crop.minimum, with its words joined otherwise.
func named(key, by string) string { return strings.NewReplacer(".", by, "_", by).Replace(key) }

// groups of the settings, with what was written and what is wrong with it.
func (s *Server) groups(t taste, written, faults map[string]string) []group {
	var all []group
	for _, x := range s.house.Settings(t.units) {
		section, _, _ := strings.Cut(x.Name, ".")
		if n := len(all); n == 0 || all[n-1].Name != section {
			all = append(all, group{Name: section, Open: sectionsOpen[section]})
		}
		f := field{Setting: x, ID: named(x.Name, "-"), Label: named(x.Name, " "), Written: x.Value, Fault: faults[x.Name]}
		if v, ok := written[x.Name]; ok {
			f.Written, f.Changed = v, true
		}
		g := &all[len(all)-1]
		g.Settings = append(g.Settings, f)
		g.Open = g.Open || f.Changed || f.Fault != ""
	}
	return all
}

func (s *Server) thresholds(w http.ResponseWriter, r *http.Request) {
	x := thresholdForm{shell: s.shell(r, "Thresholds"), Groups: s.groups(tasteOf(r, &s.home), nil, nil)}
	if r.URL.Query().Has("done") {
		x.Said = "Changed, and recorded."
	}
	s.show(w, r, http.StatusOK, "thresholds.html", x)
}

// wanted are the settings that were written otherwise than they stand.
func (s *Server) wanted(r *http.Request, t taste) map[string]string {
	all := make(map[string]string)
	for _, x := range s.house.Settings(t.units) {
		if v := strings.TrimSpace(r.FormValue(x.Name)); v != "" && v != x.Value {
			all[x.Name] = v
		}
	}
	return all
}

// changeThresholds shows what changes would do, or makes them.
func (s *Server) changeThresholds(w http.ResponseWriter, r *http.Request) {
	t := tasteOf(r, &s.home)
	if err := r.ParseForm(); err != nil {
		http.Error(w, "This form could not be read.", http.StatusBadRequest)
		return
	}
	wanted := s.wanted(r, t)
	x := thresholdForm{shell: s.shell(r, "Thresholds")}
	if len(wanted) == 0 {
		x.Fault = "Nothing is changed: write another value first."
		s.refuse(w, r, t, &x, nil, nil)
		return
	}
	if r.PostForm.Has("apply") {
		s.apply(w, r, t, &x, wanted)
		return
	}
	ctx, cancel := bounded(r)
	defer cancel()
	p, err := s.house.Preview(ctx, wanted, t.units)
	switch {
	case err != nil:
		x.Fault = "What this would do could not be worked out: " + err.Error()
	case len(p.Faults) > 0:
		x.Fault = "Not every value can be taken: see beside the fields."
	default:
		x.Preview = p.words(t)
	}
	if x.Fault != "" {
		s.refuse(w, r, t, &x, wanted, p.Faults)
		return
	}
	x.Groups = s.groups(t, wanted, nil)
	s.show(w, r, http.StatusOK, "thresholds.html", x)
}

func (s *Server) refuse(w http.ResponseWriter, r *http.Request, t taste, x *thresholdForm, wanted, faults map[string]string) {
	x.Groups = s.groups(t, wanted, faults)
	s.show(w, r, http.StatusUnprocessableEntity, "thresholds.html", x)
}

// apply makes the changes, all or none.
func (s *Server) apply(w http.ResponseWriter, r *http.Request, t taste, x *thresholdForm, wanted map[string]string) {
	answer, err := s.submit(r, wire.Command{Set: wanted})
	if err == nil && answer.Accepted {
		http.Redirect(w, r, "/thresholds?done", http.StatusSeeOther)
		return
	}
	x.Fault = refused(answer, err)
	ctx, cancel := bounded(r)
	defer cancel()
	p, again := s.house.Preview(ctx, wanted, t.units)
	if again != nil && !errors.Is(again, ctx.Err()) {
		s.log.Error("page", "faults of settings", again)
	}
	s.refuse(w, r, t, x, wanted, p.Faults)
}

// words of a preview.
func (p *Preview) words(t taste) *previewed {
	x := &previewed{Says: p.Words, Apply: true}
	if p.Tonight != "" {
		x.Says = append(x.Says, t.timed(p.Tonight))
	}
	if len(p.Nights) == 0 {
		x.Says = append(x.Says, "No night is recorded that could be lived again: what it would have done is not known.")
		return x
	}
	unit, scale := "K²h", 1.0
	off := fmt.Sprintf("%.1f\u00a0K", p.Off)
	if t.units == quantity.US {
		unit, scale, off = "°F²h", 3.24, fmt.Sprintf("%.1f\u00a0°F", 1.8*p.Off)
	}
	x.Head = []string{"night of", "coldest, recorded", "coldest, replayed", "coldest, changed", "cold, replayed", "cold, changed", "battery, replayed", "battery, changed"}
	var again, then float64
	for _, n := range p.Nights {
		x.Rows = append(x.Rows, []string{
			n.Noon.In(t.zone).Format("Mon 2\u00a0Jan"), t.temp(n.Was), t.temp(n.Again), t.temp(n.Then),
			fmt.Sprintf("%.0f\u00a0%s", scale*n.SquaredAgain, unit), fmt.Sprintf("%.0f\u00a0%s", scale*n.SquaredThen, unit),
			fmt.Sprintf("%.0f\u00a0Wh", n.WhAgain), fmt.Sprintf("%.0f\u00a0Wh", n.WhThen),
		})
		again, then = again+n.SquaredAgain, then+n.SquaredThen
	}
	x.Says = append(x.Says, fmt.Sprintf("The last %d nights lived again: %.0f %s below today's minimum as it is, %.0f %s changed. Against the record the replay is off by %s: do not believe finer differences.",
		len(p.Nights), scale*again, unit, scale*then, unit, off))
	return x
}
