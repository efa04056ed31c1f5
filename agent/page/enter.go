package page

import (
	"errors"
	"net/http"

	"duskloop/agent/page/access"
)

// enterForm asks for the password, or for a first one.
type enterForm struct {
	shell
	Action, Label, Button, Complete string
	Token                           string
	Unset                           bool
	Fault                           string
}

func (s *Server) enterForm(r *http.Request) enterForm {
	return enterForm{
		shell: s.shell(r, "Password"), Action: "/enter", Label: "The greenhouse's password", Button: "Enter", Complete: "current-password",
	}
}

func (s *Server) enter(w http.ResponseWriter, r *http.Request) {
	s.show(w, r, http.StatusOK, "enter.html", s.enterForm(r))
}

// tryEnter begins a session for who knows the password.
func (s *Server) tryEnter(w http.ResponseWriter, r *http.Request) {
	c, err := s.doors.Enter(r, r.PostFormValue("password"))
	if err == nil {
		http.SetCookie(w, c)
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	x := s.enterForm(r)
	x.Fault, x.Unset = faultOf(err), errors.Is(err, access.ErrUnset)
	s.show(w, r, codeOf(err), "enter.html", x)
}

// faultOf says in words why a password was not taken.
func faultOf(err error) string {
	var wait *access.Wait
	switch {
	case errors.As(err, &wait), errors.Is(err, access.ErrBusy), errors.Is(err, access.ErrRule), errors.Is(err, access.ErrLink), errors.Is(err, access.ErrUnset):
		return sentenceOf(err.Error()) + "."
	case errors.Is(err, access.ErrWrong):
		return "That is not the password."
	}
	return "The password could not be kept: " + err.Error() + "."
}

func codeOf(err error) int {
	var wait *access.Wait
	switch {
	case errors.As(err, &wait):
		return http.StatusTooManyRequests
	case errors.Is(err, access.ErrBusy):
		return http.StatusServiceUnavailable
	}
	return http.StatusUnprocessableEntity
}

func (s *Server) leave(w http.ResponseWriter, r *http.Request) {
	http.SetCookie(w, s.doors.Leave(r))
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// firstForm asks for the first password, by the link that the daemon printed.
func (s *Server) firstForm(r *http.Request, token string) enterForm {
	x := s.enterForm(r)
	x.Action, x.Label, x.Button, x.Complete, x.Token = "/first", "The password from now on, 8 letters or more", "Set it", "new-password", token
	return x
}

func (s *Server) first(w http.ResponseWriter, r *http.Request) {
	s.show(w, r, http.StatusOK, "enter.html", s.firstForm(r, r.FormValue("link")))
}

// setFirst sets it.
func (s *Server) setFirst(w http.ResponseWriter, r *http.Request) {
	c, err := s.doors.Claim(r, r.PostFormValue("token"), r.PostFormValue("password"))
	if err == nil {
		http.SetCookie(w, c)
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	x := s.firstForm(r, r.PostFormValue("token"))
	x.Fault = faultOf(err)
	s.show(w, r, codeOf(err), "enter.html", x)
}

// Free are the requests that need no password where reading is closed: to enter, and for
// machines that ask whether the daemon is well.
func Free() []string {
	return []string{
		"GET /enter", "POST /enter", "GET /first", "POST /first", "POST /figures", "GET /healthz",
		"GET /still/page.css", "GET /still/page.js", "GET /still/icon.svg",
	}
}
