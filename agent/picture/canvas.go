package picture

// Lengths, in units of the picture. Chosen: the width of a common telephone, and
// letters that are no smaller there than ten CSS pixels.
const (
	width  = 390.0
	margin = 8.0
	left   = 34.0  // of what is drawn over time
	right  = 322.0 // beyond it lines have their names
	small  = 10.0  // letters
	big    = 14.0
	row    = 13.0 // from one line of text to the next
	// narrow is the width where letters must stay readable on a small telephone: ten units
	// are eleven CSS pixels or more where 360 of them are wide.
	narrow = 320.0
)

// Tones. Each is there to please; its lightness and its shape carry the meaning.
const (
	ink    = "#1f1f1f"
	faint  = "#c9c9c9"
	night  = "#d9dde6"
	doubt  = "#9fb0c9"
	paper  = "#ffffff"
	strong = "#26384d"
)

// canvas is a picture while it is drawn, from the top down, whatever stands along its
// x axis.
type canvas struct {
	root        *node
	y           float64 // where the next thing begins
	left, right float64 // of what is drawn on scales
	wide        float64 // all of it
}

func newCanvas(title, description string) *canvas {
	root := &node{name: "svg"}
	root.set("xmlns", "http://www.w3.org/2000/svg", "viewBox", "", "role", "img", "aria-labelledby", "title desc",
		"font-family", "sans-serif", "font-size", num(small), "fill", ink)
	root.add("title", "id", "title").text = title
	root.add("desc", "id", "desc").text = description
	root.add("rect", "width", "100%", "height", "100%", "fill", paper)
	return &canvas{root: root, left: left, right: right, wide: width}
}

// done gives the picture the height it has come to.
func (c *canvas) done() *canvas {
	c.root.change("viewBox", "0 0 "+num(c.wide)+" "+num(c.y+margin))
	return c
}

// words puts one line of text with its baseline at y.
func words(to *node, x, y float64, anchor, text string, more ...string) *node {
	t := to.add("text", "x", num(x), "y", num(y))
	if anchor != "start" {
		t.set("text-anchor", anchor)
	}
	t.set(more...)
	t.text = text
	return t
}

// titles writes a heading in as many lines as it needs, the first shorter by taken, and
// what stands below it.
func (c *canvas) titles(heading, below string, taken float64) {
	c.y = margin + big - 2
	room := c.wide - 2*margin
	for i, line := range wrap(heading, big, (room-taken)/boldWider, 0) {
		if i > 0 {
			c.y += big + 3
		}
		words(c.root, margin, c.y, "start", line, "font-size", num(big), "font-weight", "bold")
	}
	for _, line := range wrap(below, small, room, 0) {
		if line == "" {
			break
		}
		c.y += row + 2
		words(c.root, margin, c.y, "start", line)
	}
	c.y += 6
}

// heading begins a panel: what it is, and its unit.
func (c *canvas) heading(text string) {
	for _, line := range wrap(text, small, (c.wide-2*margin)/boldWider, 0) {
		c.y += row
		words(c.root, margin, c.y-3, "start", line, "font-weight", "bold")
	}
	c.y += 4
}

// footnote writes a text below all, in as many lines as it needs.
func (c *canvas) footnote(text string) {
	for _, line := range wrap(text, small, c.wide-2*margin, 0) {
		c.y += row
		words(c.root, margin, c.y-3, "start", line)
	}
}
