package picture

import "time"

// cell is the height of a field's cells in time, and cells how many a column has.
const (
	cell  = 30 * time.Minute
	cells = int(24 * time.Hour / cell)
)

// Field tells at which hours something ran, a column from noon to noon for every
// day. It is drawn where the frame is drawn by single days.
type Field struct {
	Name  string
	frame Frame
	noons []time.Time
	ran   [][cells]time.Duration
}

// NewField is an empty field; it stays empty where the frame is not drawn by
// single days.
func NewField(f Frame, name string) *Field {
	x := &Field{Name: name, frame: f}
	if !f.Daily() || f.perBucket() > 1 {
		return x
	}
	y, m, d := f.From.Date()
	for i := -1; ; i++ {
		at := time.Date(y, m, d+i, 12, 0, 0, 0, f.From.Location())
		x.noons = append(x.noons, at)
		if !at.Before(f.To) {
			break
		}
	}
	x.ran = make([][cells]time.Duration, len(x.noons)-1)
	return x
}

// Hold says that it ran from a time to another.
func (x *Field) Hold(from, to time.Time) {
	from, to, some := x.frame.clip(from, to)
	for some && len(x.ran) > 0 {
		c, i := x.cell(from)
		end := x.noons[c].Add(time.Duration(i+1) * cell)
		if !end.After(from) || end.After(to) { // the 25th hour where clocks change, or all of it
			end = to
		}
		x.ran[c][i] = min(x.ran[c][i]+end.Sub(from), cell)
		from, some = end, to.After(end)
	}
}

// cell is the column and row that hold a time.
func (x *Field) cell(at time.Time) (column, row int) {
	c := min(int(at.Sub(x.noons[0])/(24*time.Hour)), len(x.ran)-1) // within one, where clocks change
	for c > 0 && at.Before(x.noons[c]) {
		c--
	}
	for c < len(x.ran)-1 && !at.Before(x.noons[c+1]) {
		c++
	}
	return c, min(int(at.Sub(x.noons[c])/cell), cells-1)
}
