package picture

import (
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
)

// Picture is any drawing of this package.
type Picture interface {
	// Write writes it as a file of its own.
	Write(io.Writer) error

	drawn() (*canvas, error)
}

var (
	_ Picture = (*Sheet)(nil)
	_ Picture = (*Beside)(nil)
	_ Picture = (*Curves)(nil)
	_ Picture = (*Bars)(nil)
)

// asFile draws a picture and writes it as a file of its own.
func asFile(w io.Writer, p Picture) error {
	c, err := p.drawn()
	if err != nil {
		return err
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	return c.root.write(w)
}

// plainID is what may stand in an HTML page as an id and be referred to by others.
var plainID = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`)

// InPage writes a picture so that it can stand in an HTML page as it is: an svg element
// without an XML declaration. Its two ids, of title and description, begin with id, which
// must be another for each picture of the page: letters, digits, - and _, a letter first.
// The picture is as wide as what the page puts it into; it has classes of its own, as
// "row" and "axis", which the page's style is to leave alone.
func InPage(w io.Writer, p Picture, id string) error {
	if !plainID.MatchString(id) {
		return fmt.Errorf("%q cannot be a picture's id in a page: letters, digits, - and _, a letter first", id)
	}
	c, err := p.drawn()
	if err != nil {
		return err
	}
	c.rename(id + "-")
	return c.root.write(w)
}

// rename puts something before the ids.
func (c *canvas) rename(before string) {
	c.root.change("aria-labelledby", before+"title "+before+"desc")
	for _, k := range c.root.kids {
		if k.name == "title" || k.name == "desc" {
			k.change("id", before+k.name)
		}
	}
}
