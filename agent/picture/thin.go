package picture

import "math"

// unseen is by how far a straightened line may lie from the whole one, in units of a picture: a
// third of one is a third of a telephone's pixel as the style sheets count, and less than
// the line is wide. Chosen.
const unseen = 0.3

// straightened leaves out places of a line that lie within unseen of the straight between those
// that stay (U. Ramer, "An iterative procedure for the polygonal approximation of plane
// curves", Computer Graphics and Image Processing 1, 1972). The ends stay.
func straightened(all []place) []place {
	if len(all) < 3 {
		return all
	}
	stay := make([]bool, len(all))
	stay[0], stay[len(all)-1] = true, true
	for open := [][2]int{{0, len(all) - 1}}; len(open) > 0; {
		from, to := open[len(open)-1][0], open[len(open)-1][1]
		open = open[:len(open)-1]
		if far, at := farthest(all, from, to); far > unseen {
			stay[at] = true
			open = append(open, [2]int{from, at}, [2]int{at, to})
		}
	}
	var left []place
	for i, s := range stay {
		if s {
			left = append(left, all[i])
		}
	}
	return left
}

// farthest is the place between two that lies farthest from their straight.
func farthest(all []place, from, to int) (far float64, at int) {
	a, b := all[from], all[to]
	dx, dy := b.x-a.x, b.y-a.y
	long := math.Hypot(dx, dy)
	for i := from + 1; i < to; i++ {
		x, y := all[i].x-a.x, all[i].y-a.y
		d := math.Hypot(x, y)
		if long > 0 {
			d = math.Abs(x*dy-y*dx) / long
		}
		if d > far {
			far, at = d, i
		}
	}
	return far, at
}
