package trial

import "math"

// Compared is what two runs say of one another.
type Compared struct {
	More, Error float64 // W: by how much the first puts more into the liquid, and its standard error
	Differ      bool    // by more than chance
}

// certain is how many standard errors two powers must be apart to be told apart: 95 % of
// equal ones are not (normal distribution, two-sided).
const certain = 1.96

// Compare the powers of two runs.
func Compare(a, b Fitted) Compared {
	c := Compared{More: a.Power - b.Power, Error: math.Hypot(a.PowerError, b.PowerError)}
	c.Differ = math.Abs(c.More) > certain*c.Error
	return c
}

// Interval is a 95 % one about a figure with a standard error.
func Interval(x, err float64) (low, high float64) { return x - certain*err, x + certain*err }
