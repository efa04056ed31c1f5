package picture

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// Bars are numbers beside each other as bars from a common zero, in the order given: who
// ranks them hands them in ranked.
type Bars struct {
	Title, Under string // Under stands below the title; may be empty
	Unit         string // what is counted, above all bars
	Rows         []Bar
	Says         string // for those who cannot see; empty: every row is told
}

// Bar is one row. Value may be negative, and is NaN or infinite nowhere.
type Bar struct {
	Name   string
	Note   string // below the row; may be empty
	Value  float64
	Range  *Range // within which the truth may lie; nil: not told
	Marked bool   // "as it is", with which the others are compared; at most one row
}

// Range is from a number to one that is not smaller.
type Range struct{ Low, High float64 }

// Write writes the picture; ErrNothing without rows.
func (b *Bars) Write(w io.Writer) error { return asFile(w, b) }

func (b *Bars) drawn() (*canvas, error) {
	if len(b.Rows) == 0 {
		return nil, ErrNothing
	}
	if err := b.check(); err != nil {
		return nil, err
	}
	l := b.lay()
	for i := range b.Rows {
		l.row(&b.Rows[i])
	}
	l.close()
	return l.done(), nil
}

// check refuses what cannot be drawn.
func (b *Bars) check() error {
	marked := 0
	for i := range b.Rows {
		if err := b.Rows[i].check(); err != nil {
			return err
		}
		if b.Rows[i].Marked {
			marked++
		}
	}
	if marked > 1 {
		return fmt.Errorf("%d rows are marked as it is: one can be", marked)
	}
	return nil
}

func (x *Bar) check() error {
	if err := drawable(x.Name, x.Value); err != nil || x.Range == nil {
		return err
	}
	if err := drawable(x.Name, x.Range.Low); err != nil {
		return err
	}
	if x.Range.High < x.Range.Low {
		return fmt.Errorf("%s lies from %g to %g, backwards", x.Name, x.Range.Low, x.Range.High)
	}
	return drawable(x.Name, x.Range.High)
}

// reach is from the least to the greatest, with the zero.
func (b *Bars) reach() reach {
	var r reach
	for _, x := range b.Rows {
		r = r.with(x.Value)
		if x.Range != nil {
			r = r.with(x.Range.Low).with(x.Range.High)
		}
	}
	return r
}

// decimals are those of the numbers: three figures of the largest, at most four decimals.
func (b *Bars) decimals() int {
	most := 0.0
	for _, x := range b.Rows {
		most = max(most, math.Abs(x.Value))
	}
	if most == 0 {
		return 0
	}
	return min(max(2-int(math.Floor(math.Log10(most))), 0), 4)
}

// marked is the row that is as it is; nil: none.
func (b *Bars) marked() *Bar {
	for i := range b.Rows {
		if b.Rows[i].Marked {
			return &b.Rows[i]
		}
	}
	return nil
}

// description says every row.
func (b *Bars) description() string {
	if b.Says != "" {
		return b.Says
	}
	var parts []string
	for _, x := range b.Rows {
		text := x.Name
		if x.Marked {
			text += " (as it is)"
		}
		text += ": " + strings.TrimSpace(plain(x.Value, b.decimals())+" "+b.Unit)
		if x.Range != nil {
			text += fmt.Sprintf(", within %s to %s", significant(x.Range.Low), significant(x.Range.High))
		}
		if x.Note != "" {
			text += "; " + x.Note
		}
		parts = append(parts, text+".")
	}
	return strings.Join(parts, " ")
}
