package picture

import "time"

// Field tells at which hours something ran, a column from noon to noon for every
// day, in cells of half an hour, or of one where days are many. It is drawn where the
// frame is drawn by single days.
type Field struct {
	Name  string
	frame Frame
	cell  time.Duration
	noons []time.Time
	ran   [][]time.Duration
}

// manyDays is from when cells are larger, so that a year stays small.
const manyDays = 150

// NewField is an empty field; it stays empty where the frame is not drawn by
// single days.
func NewField(f Frame, name string) *Field {
	x := &Field{Name: name, frame: f, cell: 30 * time.Minute}
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
	if len(x.noons) > manyDays {
		x.cell = time.Hour
	}
	x.ran = make([][]time.Duration, len(x.noons)-1)
	for c := range x.ran {
		x.ran[c] = make([]time.Duration, 24*time.Hour/x.cell)
	}
	return x
}

// columns are the days that it has; none where it is not drawn.
func (x *Field) columns() [][]time.Duration {
	if x == nil {
		return nil
	}
	return x.ran
}

// Hold says that it ran from a time to another.
func (x *Field) Hold(from, to time.Time) {
	from, to, some := x.frame.clip(from, to)
	for some && len(x.ran) > 0 {
		c, i := x.at(from)
		end := x.noons[c].Add(time.Duration(i+1) * x.cell)
		if !end.After(from) || end.After(to) { // the 25th hour where clocks change, or all of it
			end = to
		}
		x.ran[c][i] = min(x.ran[c][i]+end.Sub(from), x.cell)
		from, some = end, to.After(end)
	}
}

// at is the column and row that hold a time.
func (x *Field) at(t time.Time) (column, row int) {
	c := min(int(t.Sub(x.noons[0])/(24*time.Hour)), len(x.ran)-1) // within one, where clocks change
	for c > 0 && t.Before(x.noons[c]) {
		c--
	}
	for c < len(x.ran)-1 && !t.Before(x.noons[c+1]) {
		c++
	}
	return c, min(int(t.Sub(x.noons[c])/x.cell), len(x.ran[c])-1)
}
