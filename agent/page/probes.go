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
	if len(p) < 2 {
		return "just begun"
	}
	by := p[len(p)-1].c - p[max(0, len(p)-4)].c
	return t.change(by) + " in " + ago(p[len(p)-1].at.Sub(p[max(0, len(p)-4)].at))
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
