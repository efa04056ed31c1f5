package sizing

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"
	"regexp"
	"slices"
	"strings"

	"duskloop/agent/picture"
	"duskloop/sensors/quantity"
)

// Page is a worksheet to read on a telephone or to print: one HTML file with all in it.
type Page struct {
	sheet *Worksheet
	units quantity.Units
}

// Page of the worksheet, in the grower's units.
func (w *Worksheet) Page(u quantity.Units) Page { return Page{w, u} }

//go:embed page.html
var pageText string

// pageForm is parsed once: a fault in it is a programmer's, and a test reads it.
var pageForm = template.Must(template.New("page").Parse(pageText))

// drawnSection is a section with its pictures.
type drawnSection struct {
	Section
	Pictures []template.HTML
}

// Write writes the page.
func (p Page) Write(w io.Writer) error {
	x := struct {
		Site, Loop string
		Sections   []drawnSection
	}{Site: p.sheet.Site, Loop: p.sheet.Loop}
	pictures := p.sheet.pictures(tongue{p.units})
	for _, s := range p.sheet.Sections(p.units) {
		d := drawnSection{Section: s.unbroken()}
		if draw := pictures[s.ID]; draw != nil {
			var b bytes.Buffer
			if err := picture.InPage(&b, draw, s.ID); err != nil {
				return err
			}
			d.Pictures = append(d.Pictures, template.HTML(b.String())) // our own drawing, its words escaped
		}
		x.Sections = append(x.Sections, d)
	}
	return pageForm.Execute(w, x)
}

// unit is the space between a figure and what follows it.
var unit = regexp.MustCompile(`(\d) (\S)`)

// short is how long a cell may be that is not broken at all.
const short = 24

// unbroken is the section with figures and their units held together.
func (s Section) unbroken() Section {
	hold := func(texts []string) []string {
		held := make([]string, len(texts))
		for i, t := range texts {
			held[i] = unit.ReplaceAllString(t, "$1\u00a0$2")
		}
		return held
	}
	s.Says, s.After, s.Head = hold(s.Says), hold(s.After), hold(s.Head)
	rows := make([][]string, len(s.Rows))
	for i, r := range s.Rows {
		rows[i] = append([]string{r[0]}, hold(r[1:])...)
		for k, c := range rows[i][1:] {
			if len(c) <= short {
				rows[i][k+1] = strings.ReplaceAll(c, " ", "\u00a0")
			}
		}
	}
	s.Rows = rows
	return s
}

// pictures by the section that they stand in.
func (w *Worksheet) pictures(t tongue) map[string]picture.Picture {
	all := map[string]picture.Picture{
		"heating": w.drawHeatUps(t), "heater": w.drawDays(slices.Sorted(slices.Values(w.Heater.Days))), "battery": w.drawBattery(),
	}
	if levers := w.drawLevers(); levers != nil {
		all["changes"] = levers
	}
	return all
}
