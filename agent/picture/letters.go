package picture

import (
	"strings"
	"unicode"
)

// widths are the advances of the printable ASCII letters, space to tilde, in
// hundredths of the font's size: DejaVu Sans 2.37, measured with a browser's
// measureText. Nobody knows which face "sans-serif" will be; of the common ones it
// is the widest (Liberation Sans, with Arial's advances, is narrower nearly
// everywhere), so that what fits by these fits.
var widths = [95]int{
	32, 40, 46, 84, 64, 95, 78, 27, 39, 39, 50, 84, 32, 36, 32, 34,
	64, 64, 64, 64, 64, 64, 64, 64, 64, 64, 34, 34, 84, 84, 84, 53,
	100, 68, 69, 70, 77, 63, 58, 77, 75, 29, 29, 66, 56, 86, 75, 79,
	60, 79, 69, 63, 61, 73, 68, 99, 69, 61, 69, 39, 34, 39, 84, 50,
	50, 61, 63, 55, 63, 62, 35, 63, 63, 28, 28, 58, 28, 97, 63, 61,
	63, 63, 41, 52, 39, 63, 59, 82, 59, 59, 52, 64, 34, 64, 84,
}

// otherWidth stands for any other letter; boldWider is about the most by which a
// word grows in bold (the same measurement: 6 to 16 %).
const (
	otherWidth = 100
	boldWider  = 1.16
)

// textWidth is how wide a text may come out, in units.
func textWidth(s string, size float64, bold bool) float64 {
	sum := 0
	for _, r := range s {
		if r >= ' ' && r <= '~' {
			sum += widths[r-' ']
		} else {
			sum += otherWidth
		}
	}
	w := float64(sum) / 100 * size
	if bold {
		w *= boldWider
	}
	return w
}

// breaks says that a line may end at a letter: not at the space within "4 Ω" where that
// was meant to stay together.
func breaks(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' }

// wrap breaks a text into lines no wider than room, the first narrower by less. A
// single word that is too long is cut.
func wrap(s string, size, room, less float64) []string {
	var all []string
	line := ""
	for _, word := range strings.FieldsFunc(s, breaks) {
		longer := strings.TrimPrefix(line+" "+word, " ")
		if line != "" && textWidth(longer, size, false) > room-less {
			all, less = append(all, line), 0
			longer = word
		}
		line = fit(longer, size, room-less, false)
	}
	return append(all, line)
}

// fit cuts a text that is wider than room, and shows that it did.
func fit(s string, size, room float64, bold bool) string {
	if textWidth(s, size, bold) <= room {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && textWidth(string(r)+"…", size, bold) > room {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}
