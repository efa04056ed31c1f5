package page

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"
)

// send answers with a body, zipped for who takes that.
func send(w http.ResponseWriter, r *http.Request, code int, kind string, body []byte) {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Vary", "Accept-Encoding")
	if takesGzip(r) {
		if z := zip(body); len(z) < len(body) {
			h.Set("Content-Encoding", "gzip")
			body = z
		}
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(code)
	if r.Method != http.MethodHead {
		_, _ = w.Write(body) // who went away needs no answer
	}
}

func takesGzip(r *http.Request) bool {
	for _, part := range strings.Split(r.Header.Get("Accept-Encoding"), ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.EqualFold(name, "gzip") && strings.ReplaceAll(weight, " ", "") != "q=0" {
			return true
		}
	}
	return false
}

func zip(body []byte) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := z.Write(body)
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		return body // into memory: it cannot be
	}
	return b.Bytes()
}

// still are the files that only a new program changes, by their names.
type still map[string][]byte

// linked is a file's link, which changes with its content.
func (s still) linked(name string) string { return "/still/" + name + "?v=" + s.mark(name) }

// mark is a few digits of the content's hash.
func (s still) mark(name string) string {
	sum := sha256.Sum256(s[name])
	return hex.EncodeToString(sum[:6])
}

// stills reads them, with their names in the folder form/still.
func stills() (still, error) {
	all := make(still)
	names, err := fs.Glob(formFiles, "form/still/*")
	if err != nil {
		return nil, err
	}
	for _, n := range names {
		b, err := formFiles.ReadFile(n)
		if err != nil {
			return nil, err
		}
		all[path.Base(n)] = b
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("no file in form/still")
	}
	return all, nil
}

// ServeHTTP sends one, to be kept for a year by the link that changes with its content; by
// any other it is asked for anew each time.
func (s still) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	b, ok := s[name]
	if !ok {
		http.NotFound(w, r)
		return
	}
	keep := "no-cache"
	if r.URL.Query().Get("v") == s.mark(name) {
		keep = "public, max-age=31536000, immutable"
	}
	w.Header().Set("Cache-Control", keep)
	send(w, r, http.StatusOK, mime.TypeByExtension(path.Ext(name)), b)
}
