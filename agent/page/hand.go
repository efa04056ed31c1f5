package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"duskloop/agent/wire"
	"duskloop/control"
)

// order that can be given by hand, with what it does to safety.
type order struct {
	control.OrderKind
	Label, Does string
}

// Name is the order's word.
func (o order) Name() string { return o.String() }

// Times are those offered, none longer than the loop would take; none for an order without.
func (o order) Times() (all []string) {
	for _, t := range timesByHand {
		if t.long <= o.Longest() {
			all = append(all, t.words)
		}
	}
	return all
}

// timesByHand are offered for orders that end by themselves.
var timesByHand = []struct {
	words string
	long  time.Duration
}{
	{"10 min", 10 * time.Minute}, {"30 min", 30 * time.Minute}, {"1 h", time.Hour}, {"2 h", 2 * time.Hour},
	{"4 h", 4 * time.Hour}, {"12 h", 12 * time.Hour}, {"24 h", 24 * time.Hour},
}

// ordersByHand in the order in which they are shown. Every safety rule stands above them.
var ordersByHand = []order{
	{control.RunPump, "Run pump and fans", "They run for the time given, even where the plan would save the heat. Safety rules and the battery's cut-off stand above it."},
	{control.RunFans, "Run the fans", "They blow for the time given, the pump rests."},
	{control.HoldOff, "Hold off", "Pump and fans rest for the time given, whatever the cold: for work on the loop. A hot tank sheds nothing and nothing keeps pipes from freezing. Never leave a hot tank held off."},
	{control.WatchOnly, "Watch only", "Everything is decided and recorded, and neither pump nor fans are switched: nothing protects the crop, and no heat is shed. The thermal cut-out is the safeguard as ever."},
	{control.EndByHand, "End all of these", "The loop goes on by itself."},
	{control.Resume, "The loop was seen to: try again", "After a stop for no flow: only once pump, valves and level have been looked at."},
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
