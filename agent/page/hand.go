package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"duskloop/agent/wire"
)

// order that can be given by hand, with what it does to safety.
type order struct {
	Name, Label, Does string
	Timed             bool
}

// ordersByHand in the order in which they are shown. Every safety rule stands above them.
var ordersByHand = []order{
	{"run-pump", "Run pump and fans", "They run for the time given, even where the plan would save the heat. Safety rules and the battery's cut-off stand above it.", true},
	{"run-fans", "Run the fans", "They blow for the time given, the pump rests.", true},
	{"hold", "Hold off", "Pump and fans rest for the time given, whatever the cold. A tank that is dangerously hot still sheds its heat.", true},
	{"watch", "Watch only", "Everything is decided and recorded, and neither pump nor fans are switched: nothing protects the crop, and no heat is shed. The thermal cut-out is the safeguard as ever.", true},
	{"end", "End all of these", "The loop goes on by itself.", false},
	{"resume", "The loop was seen to: try again", "After a stop for no flow: only once pump, valves and level have been looked at.", false},
}

// handForm is the page of orders.
type handForm struct {
	shell
	Orders []order
	Now    []string
	Fault  string
}

func (s *Server) handForm(r *http.Request) handForm {
	x := handForm{shell: s.shell(r, "By hand"), Orders: ordersByHand}
	if m, _, _ := s.hub.look(); m != nil {
		x.Now = m.orders()
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
		if o.Name == c.Hand && o.Timed {
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
	return s.house.Submit(ctx, data, who)
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
