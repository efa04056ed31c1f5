package access

import (
	"context"
	"fmt"
	"mime"
	"net/http"
	"strings"
)

// mostBody is what a request may bring, in bytes. Chosen: the longest form is a few thousand.
const mostBody = 64 << 10

// Guard lets through to next what may pass, and sets the headers of every answer; next may
// set others, such as Cache-Control for what is nobody's. Reading that was let through by a
// session ends, by its context, with the session.
func (k *Keeper) Guard(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		k.head(w.Header())
		r.Body = http.MaxBytesReader(innermost(w), r.Body, mostBody)
		code, s := k.judge(r, cross)
		if code != http.StatusOK {
			k.refuse(w, r, code)
			return
		}
		if s != nil && reads(r) {
			ctx, end := context.WithCancel(r.Context())
			defer end()
			defer context.AfterFunc(s.ctx, end)()
			r = r.WithContext(ctx)
		}
		next.ServeHTTP(w, r)
	})
}

// innermost is net/http's own writer, which hangs up on who sends too much.
func innermost(w http.ResponseWriter) http.ResponseWriter {
	for {
		outer, ok := w.(interface{ Unwrap() http.ResponseWriter })
		if !ok {
			return w
		}
		w = outer.Unwrap()
	}
}

// refuse answers what may not pass.
func (k *Keeper) refuse(w http.ResponseWriter, r *http.Request, code int) {
	switch code {
	case http.StatusMethodNotAllowed:
		w.Header().Set("Allow", strings.Join(methods, ", "))
	case http.StatusUnauthorized:
		// One is due (RFC 9110, section 15.5.2); of a scheme that no browser asks for.
		w.Header().Set("WWW-Authenticate", `Page realm="greenhouse"`)
	}
	k.opts.Refused(w, r, code)
}

// methods are those let through; the first three read.
var methods = []string{http.MethodGet, http.MethodHead, http.MethodOptions, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete}

func reads(r *http.Request) bool {
	return r.Method == http.MethodGet || r.Method == http.MethodHead || r.Method == http.MethodOptions
}

// judge is 200 for what may pass, with its session where it has one, or the code that
// refuses it. The host comes first: nothing else is told to a page of another name.
func (k *Keeper) judge(r *http.Request, cross *http.CrossOriginProtection) (int, *session) {
	if !k.ourHost(r) {
		return http.StatusMisdirectedRequest, nil
	}
	if !allowed(r.Method) {
		return http.StatusMethodNotAllowed, nil
	}
	if foreign(r) || cross.Check(r) != nil {
		return http.StatusForbidden, nil
	}
	if !reads(r) {
		if code := k.brings(r); code != http.StatusOK {
			return code, nil
		}
	}
	s := k.sessions.find(r)
	if s != nil || k.isFree(r) || (reads(r) && k.readable(r)) {
		return http.StatusOK, s
	}
	return http.StatusUnauthorized, nil
}

func allowed(method string) bool {
	for _, m := range methods {
		if m == method {
			return true
		}
	}
	return false
}

// readable says whether everybody may read what this request asks.
func (k *Keeper) readable(r *http.Request) bool {
	return k.opts.Reading == Everybody || (k.opts.Reading == Near && near(r))
}

// foreign says that a page from elsewhere asks for a part of ours, as a picture, a stream or
// a frame; following a link to us is no such thing (W3C Fetch Metadata Request Headers).
func foreign(r *http.Request) bool {
	site := r.Header.Get("Sec-Fetch-Site")
	if site == "" || site == "same-origin" || site == "none" {
		return false
	}
	link := r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document"
	return !link || r.Method != http.MethodGet
}

// brings judges the body of a request that changes: a form or JSON, of known kind, or none.
func (k *Keeper) brings(r *http.Request) int {
	if r.ContentLength > mostBody {
		return http.StatusRequestEntityTooLarge
	}
	kinds := r.Header.Values("Content-Type")
	if len(kinds) == 0 && r.ContentLength == 0 {
		return http.StatusOK
	}
	if len(kinds) != 1 || r.Header.Get("Content-Encoding") != "" {
		return http.StatusUnsupportedMediaType
	}
	kind, _, err := mime.ParseMediaType(kinds[0])
	if err != nil || (kind != "application/x-www-form-urlencoded" && kind != "application/json" && !k.isReport(r, kind)) {
		return http.StatusUnsupportedMediaType
	}
	return http.StatusOK
}

// isReport says that a browser reports what the policy stopped.
func (k *Keeper) isReport(r *http.Request, kind string) bool {
	return kind == "application/csp-report" && k.opts.Reports != "" && r.Method == http.MethodPost && r.URL.EscapedPath() == k.opts.Reports
}

// isFree says whether a request needs no session. Its path must be written as in the list,
// so that a router that unescapes cannot take it for another.
func (k *Keeper) isFree(r *http.Request) bool {
	path, method := r.URL.EscapedPath(), r.Method
	if method == http.MethodHead {
		method = http.MethodGet
	}
	return k.free[method+" "+path] || (k.opts.Reports != "" && method == http.MethodPost && path == k.opts.Reports)
}

// freeRequests reads Options.Free.
func freeRequests(list []string) (map[string]bool, error) {
	free := make(map[string]bool, len(list))
	for _, line := range list {
		method, path, _ := strings.Cut(line, " ")
		if !allowed(method) || !strings.HasPrefix(path, "/") || strings.ContainsAny(path, " ?#%{") {
			return nil, fmt.Errorf("%q is no method and path that could be free", line)
		}
		free[line] = true
	}
	return free, nil
}
