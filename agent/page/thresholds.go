package page

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"duskloop/agent/wire"
	"duskloop/control"
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
	Name, Caution string
	Settings      []field
	Open          bool
}

// field is a setting with what was written into it, and what it was when that was begun.
type field struct {
	Setting
	ID, Label, Written, Was, Fault string
	Changed                        bool
}

// previewed is a preview in words, with what it was about.
type previewed struct {
	Changes  []edit
	Cautions []string
	Says     []string
	Depth    string // for who wants it
	Head     []string
	Rows     [][]string
}

// edit is one setting that is to be changed, as it goes from the look to the deed.
type edit struct{ Name, Says, Value, Was string }

// entered is what a form brought for the settings that it changes: the value and the one
// that was begun from, by key.
type entered struct {
	values, bases map[string]string
	faults        map[string]string // changed meanwhile
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
			all = append(all, group{Name: section, Open: sectionsOpen[section], Caution: cautionOf(section)})
		}
		f := field{Setting: x, ID: named(x.Name, "-"), Label: named(x.Name, " "), Written: x.Value, Was: x.Value, Fault: faults[x.Name]}
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

// entered are the settings that were written otherwise than they stood when the form was
// made, whatever its units were then. One that somebody changed since is a fault.
func (s *Server) entered(r *http.Request, t taste) entered {
	e := entered{make(map[string]string), make(map[string]string), make(map[string]string)}
	for _, x := range s.house.Settings(t.units) {
		v, was := strings.TrimSpace(r.PostFormValue(x.Name)), r.PostFormValue(wasOf(x.Name))
		if was == "" {
			was = x.Value
		}
		if v == "" || s.house.Same(x.Name, v, was) {
			continue
		}
		e.values[x.Name], e.bases[x.Name] = v, was
		if !s.house.Stands(x.Name, was) {
			e.faults[x.Name] = "It was changed meanwhile to " + x.Value + ", from " + was + ". Look again if you still want it changed."
		}
	}
	return e
}

// wasOf is the name of the field that says what a setting was.
func wasOf(name string) string { return "was." + name }

// lookAtThresholds shows what changes would do.
func (s *Server) lookAtThresholds(w http.ResponseWriter, r *http.Request) {
	t, x := tasteOf(r, &s.home), thresholdForm{shell: s.shell(r, "Thresholds")}
	e, ok := s.enteredWell(w, r, t, &x)
	if !ok {
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), lookedAt)
	defer cancel()
	p, err := s.house.Preview(ctx, e.values, t.units)
	switch {
	case err != nil:
		x.Fault = "What this would do could not be worked out: " + err.Error()
	case len(p.Faults) > 0:
		x.Fault = faultyFields
	default:
		x.Preview = p.words(t)
		x.Preview.take(&p, e)
		if m, _, _ := s.hub.look(); m != nil && m.Decision.Facts.Barred.By != control.NotBarred {
			x.Preview.Says = append(x.Preview.Says, m.nothingHeats(t)+" What is said of tonight is as if that were over.")
		}
	}
	if x.Fault != "" {
		s.refuse(w, r, t, &x, e.values, p.Faults)
		return
	}
	x.Groups = s.groups(t, e.values, nil)
	s.show(w, r, http.StatusOK, "thresholds.html", x)
}

const faultyFields = "Not every value can be taken: see beside the fields."

// enteredWell reads the form; what is amiss with it is answered, and not ok.
func (s *Server) enteredWell(w http.ResponseWriter, r *http.Request, t taste, x *thresholdForm) (e entered, ok bool) {
	if err := r.ParseForm(); err != nil {
		http.Error(w, "This form could not be read.", http.StatusBadRequest)
		return e, false
	}
	e = s.entered(r, t)
	switch {
	case len(e.values) == 0:
		x.Fault = "Nothing is changed: write another value first."
	case len(e.faults) > 0:
		x.Fault = "Nothing was changed by this: " + strings.ToLower(faultyFields[:1]) + faultyFields[1:]
	default:
		return e, true
	}
	s.refuse(w, r, t, x, e.values, e.faults)
	return e, false
}

func (s *Server) refuse(w http.ResponseWriter, r *http.Request, t taste, x *thresholdForm, wanted, faults map[string]string) {
	x.Groups = s.groups(t, wanted, faults)
	s.show(w, r, http.StatusUnprocessableEntity, "thresholds.html", x)
}

// applyThresholds makes the changes that were looked at, all or none.
func (s *Server) applyThresholds(w http.ResponseWriter, r *http.Request) {
	t, x := tasteOf(r, &s.home), thresholdForm{shell: s.shell(r, "Thresholds")}
	e, ok := s.enteredWell(w, r, t, &x)
	if !ok {
		return
	}
	answer, err := s.submit(r, wire.Command{Set: e.values})
	if err == nil && answer.Accepted {
		http.Redirect(w, r, "/thresholds?done", http.StatusSeeOther)
		return
	}
	x.Fault = refused(answer, err)
	ctx, cancel := bounded(r)
	defer cancel()
	p, again := s.house.Preview(ctx, e.values, t.units)
	if again != nil && !errors.Is(again, ctx.Err()) {
		s.log.Error("page", "faults of settings", again)
	}
	s.refuse(w, r, t, &x, e.values, p.Faults)
}
