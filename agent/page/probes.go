package page

import (
	"net/http"
)

// probeForm is the page of probes.
type probeForm struct {
	shell
	Rows []probe
}

// probe is one place's, with how it moved of late.
type probe struct {
	row
	Device, Moved string
}

// moved says by how much a place changed in the last minutes: that of the probe that is
// held in a warm hand moves most.
func (p past) moved(t taste) string {
	n := len(p.minutes)
	if n < 2 {
		return "just begun"
	}
	from := p.minutes[max(0, n-4)]
	return t.change(p.c-from.c) + " in " + ago(p.at.Sub(from.at))
}

func (s *Server) probesForm(r *http.Request) probeForm {
	t := tasteOf(r, &s.home)
	x := probeForm{shell: s.shell(r, "Probes")}
	m, pasts, _ := s.hub.look()
	if m == nil {
		return x
	}
	for _, p := range m.Places {
		x.Rows = append(x.Rows, probe{row: p.row(pasts[p.Name], t), Device: p.Probe, Moved: pasts[p.Name].moved(t)})
	}
	return x
}

func (s *Server) probes(w http.ResponseWriter, r *http.Request) {
	s.show(w, r, http.StatusOK, "probes.html", s.probesForm(r))
}
