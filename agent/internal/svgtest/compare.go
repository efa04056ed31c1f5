package svgtest

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
)

var number = regexp.MustCompile(`-?(?:\d+\.?\d*|\.\d+)`)

// Differences says where got is not want: elements and words must be the same, and
// attributes too except for their numbers, which may be apart by tolerance units.
func Differences(got, want *Element, tolerance float64) []string {
	return differ("", got, want, tolerance)
}

func differ(path string, got, want *Element, tolerance float64) []string {
	path += "/" + want.Name
	if c := want.Attr["class"]; c != "" {
		path += "." + c
	}
	if got.Name != want.Name {
		return []string{fmt.Sprintf("%s: %s stands there", path, got.Name)}
	}
	var all []string
	if got.Text != want.Text {
		all = append(all, fmt.Sprintf("%s: says %q, not %q", path, got.Text, want.Text))
	}
	all = append(all, attributes(path, got, want, tolerance)...)
	if len(got.Kids) != len(want.Kids) {
		return append(all, fmt.Sprintf("%s: has %d elements, not %d", path, len(got.Kids), len(want.Kids)))
	}
	for i := range want.Kids {
		all = append(all, differ(fmt.Sprintf("%s[%d]", path, i), got.Kids[i], want.Kids[i], tolerance)...)
	}
	return all
}

func attributes(path string, got, want *Element, tolerance float64) []string {
	names := slices.Sorted(maps.Keys(want.Attr))
	if !slices.Equal(slices.Sorted(maps.Keys(got.Attr)), names) {
		return []string{fmt.Sprintf("%s: other attributes", path)}
	}
	var all []string
	for _, n := range names {
		if why := apart(got.Attr[n], want.Attr[n], tolerance); why != "" {
			all = append(all, fmt.Sprintf("%s %s: %s", path, n, why))
		}
	}
	return all
}

// apart says how two values differ by more than their numbers may; nothing where
// they do not.
func apart(got, want string, tolerance float64) string {
	if got == want {
		return ""
	}
	if number.ReplaceAllString(got, "#") != number.ReplaceAllString(want, "#") {
		return fmt.Sprintf("%.60q, not %.60q", got, want)
	}
	a, b := number.FindAllString(got, -1), number.FindAllString(want, -1)
	for i := range b {
		x, y := parse(a[i]), parse(b[i])
		if !(math.Abs(x-y) <= tolerance) {
			return fmt.Sprintf("number %d is %s, not %s", i, a[i], b[i])
		}
	}
	return ""
}

func parse(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}
