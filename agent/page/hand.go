package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"duskloop/agent/wire"
	"duskloop/control"
)

// handForm is the page of orders.
type handForm struct {
	shell
	Orders []order
	Now    []string
	Fault  string
}

func (s *Server) handForm(r *http.Request) handForm {
	x, t := handForm{shell: s.shell(r, "By hand")}, tasteOf(r, &s.home)
	m, _, _ := s.hub.look()
	x.Stream = staged(stageHand, "")
	if m != nil {
		x.Now = m.orders(t)
	}
	for _, o := range ordersByHand {
		if o.OrderKind != control.Resume || m.stopped() {
			x.Orders = append(x.Orders, o.at(m, t))
		}
	}
	return x
}

func (s *Server) hand(w http.ResponseWriter, r *http.Request) {
	x := s.handForm(r)
	if r.URL.Query().Has("done") {
		x.Said = "Done."
	}
	s.show(w, r, http.StatusOK, "hand.html", x)
}

// orderByHand gives one.
func (s *Server) orderByHand(w http.ResponseWriter, r *http.Request) {
	c := wire.Command{Hand: r.FormValue("order")}
	for _, o := range ordersByHand {
		if o.Name() == c.Hand && o.Longest() > 0 {
			c.For = strings.TrimSpace(r.FormValue("for"))
		}
	}
	answer, err := s.submit(r, c)
	if err == nil && answer.Accepted {
		http.Redirect(w, r, "/hand?done", http.StatusSeeOther)
		return
	}
	x := s.handForm(r)
	x.Fault = refused(answer, err)
	s.show(w, r, http.StatusUnprocessableEntity, "hand.html", x)
}

// submit hands a command to the loop in the name of who is at the page.
func (s *Server) submit(r *http.Request, c wire.Command) (wire.Answer, error) {
	data, err := json.Marshal(c)
	if err != nil {
		return wire.Answer{}, err
	}
	ctx, cancel := context.WithTimeout(r.Context(), answerIn)
	defer cancel()
	who := "page"
	if x, ok := s.doors.Who(r); ok {
		who = fmt.Sprintf("page, %s, entered as %s", x.From, x.ID)
	}
	answer, err := s.house.Submit(ctx, data, who)
	if err == nil && answer.Accepted {
		s.drawn.drop() // what was expected may be no longer
	}
	return answer, err
}

// refused says why.
func refused(a wire.Answer, err error) string {
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		return "The loop did not answer in time. Look at what it does before you try again."
	case err != nil:
		return "It could not be asked: " + err.Error()
	}
	return a.Reason
}
