package page

import (
	"bytes"
	"net/http"
)

// Refused answers what may not pass, in words.
func (s *Server) Refused(w http.ResponseWriter, r *http.Request, code int) {
	if code == http.StatusUnauthorized {
		x := s.enterForm(r)
		x.Fault = "The password is asked for first."
		s.show(w, r, code, "enter.html", x)
		return
	}
	var b bytes.Buffer
	x := struct{ Title, Words string }{"Not done", refusedWords(code)}
	if err := s.forms.ExecuteTemplate(&b, "refused.html", x); err != nil {
		http.Error(w, x.Words, code)
		return
	}
	send(w, r, code, "text/html; charset=utf-8", b.Bytes())
}

// refusedWords say what was wrong, to a person. Nothing of the greenhouse stands in them:
// who is refused may be anybody.
func refusedWords(code int) string {
	switch code {
	case http.StatusMisdirectedRequest:
		return "This page is not served under the name by which you came. Open it by the address that the daemon printed, or write that name under page.names in the greenhouse file."
	case http.StatusForbidden:
		return "This was sent by another page than the greenhouse's own, and was not done. Open the greenhouse's page and try there."
	case http.StatusMethodNotAllowed:
		return "That cannot be done here."
	case http.StatusRequestEntityTooLarge:
		return "That is more than any form of this page sends. Nothing was done."
	case http.StatusUnsupportedMediaType:
		return "This is no form of this page. Nothing was done."
	case http.StatusTooManyRequests, http.StatusServiceUnavailable:
		return "There is too much to do at once. Try again in a minute."
	}
	return "This was refused, and nothing was done."
}
