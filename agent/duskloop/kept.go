package main

import (
	"bytes"
	"encoding/xml"
	"io"
	"os"
	"strings"

	"duskloop/agent/fitted"
)

// kept looks into a file that is there and is not empty: nil says that it is of the kind that is
// about to be written, so that nothing else is lost by a wrong name.
type kept func(path string) error

// headSize is as much of a file as tells its kind.
const headSize = 64 << 10

// head is a file's beginning.
func head(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, headSize))
	return bytes.TrimPrefix(data, []byte("\ufeff")), err
}

// isSVG says whether a file is a picture.
func isSVG(path string) error {
	data, err := head(path)
	if err != nil {
		return err
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	for token, err := d.Token(); err == nil; token, err = d.Token() {
		first, begins := token.(xml.StartElement)
		if begins && first.Name.Local == "svg" {
			return nil
		}
		if text, is := token.(xml.CharData); begins || is && len(bytes.TrimSpace(text)) > 0 {
			break
		}
	}
	return otherwise(path, "no SVG picture")
}

// isHTML says whether a file is a page.
func isHTML(path string) error {
	data, err := head(path)
	if err != nil {
		return err
	}
	text := strings.ToLower(string(bytes.TrimSpace(data)))
	if strings.HasPrefix(text, "<!doctype html") || strings.HasPrefix(text, "<html") {
		return nil
	}
	return otherwise(path, "no HTML page")
}

// isRun says whether a file is a run on the bench, as trial follow keeps it.
func isRun(path string) error {
	data, err := head(path)
	if err != nil {
		return err
	}
	if bytes.HasPrefix(bytes.TrimPrefix(data, []byte(simulatedMark)), []byte(runHead)) {
		return nil
	}
	return otherwise(path, "no run that duskloop trial follow kept")
}

// isFit says whether a file is one that fit wrote.
func isFit(path string) error {
	if _, err := fitted.Load(path); err != nil {
		return otherwise(path, "no file that duskloop fit wrote")
	}
	return nil
}

// otherwise is a file that holds something else.
func otherwise(path, what string) error {
	return misuse("%s is there and is %s; choose another name", path, what)
}
