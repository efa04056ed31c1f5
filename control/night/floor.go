package night

import "math"

// Floor is the air that stored heat and battery can hold through the night: the crop's
// minimum if they can, and below it if they cannot, by a deficit that grows.
type Floor struct {
	Now, Dawn float64 // °C, at the beginning and at the end
	Duty      float64 // a share of full conductance, for the step that begins
	Whole     bool    // the crop's minimum is held all night
}

// How a floor is sought. All are our choices: the cover's loss is taken lower than it is
// believed to be, since a floor too low for the night costs much more than one a little
// too high (a floor that fails before dawn fails by little); air may stay short of the
// floor, and for a while at the beginning must.
const (
	lowCover   = 0.8
	shortBy    = 0.05 // K
	grace      = 3    // steps
	halvings   = 12
	leakier    = 2.0
	steepest   = 1.0
	coolerThan = 1.0 // K below the coldest house air, where no floor is sought
)

// Level is the highest floor that can be held for all of an outlook, from a start, and
// the duty that holds it now. Heat that waits leaks, so that the same heat mends a smaller
// deficit later; where it is worth the same at every hour, the deficit grows: the floor is
// the aim's minimum less D e^(g t). D is sought by halving. The aim's price is not looked
// at; every figure given must be known. It allocates nothing.
func (t *Twin) Level(from Now, a Ahead, aim Aim, d Drive) Floor {
	l := level{twin: *t, drive: d, ahead: a, aim: aim, grows: 1}
	l.twin.Cover *= lowCover
	l.grows = math.Exp(l.rate(from) * Step)
	if l.holds(from, 0) {
		return l.floor(from, 0)
	}
	low, high := 0.0, l.deepest()
	for range halvings {
		if d := (low + high) / 2; l.holds(from, d) {
			high = d
		} else {
			low = d
		}
	}
	return l.floor(from, high)
}

// deepest deficit that is sought: a kelvin below the coldest house air.
func (l *level) deepest() float64 {
	coldest := l.aim.Minimum
	for _, x := range l.ahead.House {
		coldest = min(coldest, x)
	}
	return l.aim.Minimum - coldest + 1
}

// level is a floor being sought.
type level struct {
	twin  Twin
	drive Drive
	ahead Ahead
	aim   Aim
	grows float64 // the deficit, each step
}

// rate at which a deficit grows, 1/s: that of the tank's leaking, as far as the heat to
// be spent lies in the tank and not in the battery.
func (l *level) rate(from Now) float64 {
	t := &l.twin
	tank := max(0, t.Tank*(from.Tank-l.aim.Minimum)) / 3600
	battery := 0.0
	if t.Draw > 0 {
		battery = max(0, from.Charge-l.aim.Floor) / t.Draw * t.FanHeat
	}
	if tank <= 0 {
		return 0
	}
	all := float64(len(l.ahead.House)) * Step
	return min(leakier*t.TankLoss/t.Tank*tank/(tank+battery), steepest/all)
}

// holds says whether a floor that begins so far below the minimum can be held.
func (l *level) holds(n Now, deficit float64) bool {
	var s link
	for k, house := range l.ahead.House {
		want := l.aim.Minimum - deficit
		x := l.duty(&n, k, want)
		flow, power, _ := l.drive.shares(x)
		l.twin.after(&n, house, l.ahead.Sun[k], l.ahead.level(k), flow, power, &s)
		if s.charge < l.aim.Floor && power > 0 || k >= grace && s.air < want-shortBy {
			return false
		}
		n = s.end()
		deficit *= l.grows
	}
	return true
}

// floor that begins so far below the minimum.
func (l *level) floor(n Now, deficit float64) Floor {
	f := Floor{Now: l.aim.Minimum - deficit, Dawn: l.aim.Minimum - deficit, Whole: deficit == 0}
	if steps := len(l.ahead.House); steps > 0 {
		f.Dawn = l.aim.Minimum - deficit*math.Pow(l.grows, float64(steps-1))
		f.Duty = l.duty(&n, 0, f.Now)
	}
	return f
}

// duty that ends the step k ahead with the air wanted, as near as it goes: by halving, the last
// piece straight.
func (l *level) duty(n *Now, k int, want float64) float64 {
	e := l.twin.balance(n, l.ahead.House[k], l.ahead.Sun[k], l.ahead.level(k))
	low, high := 0.0, 1.0
	cold, warm := e.air(l.drive, low), e.air(l.drive, high)
	if cold >= want || warm <= cold {
		return 0
	}
	if warm <= want {
		return 1
	}
	for range 8 {
		x := (low + high) / 2
		if at := e.air(l.drive, x); at < want {
			low, cold = x, at
		} else {
			high, warm = x, at
		}
	}
	return low + (high-low)*(want-cold)/(warm-cold)
}

// balance is a step's two equations, of tank and air, but for the coil.
type balance struct{ coil, fans, a11, a22, r1, r2 float64 }

func (t *Twin) balance(n *Now, house, sun, level float64) balance {
	heat := t.Element * sun * sun
	if n.Tank >= t.Limit {
		heat = 0
	}
	return balance{
		coil: t.Coil, fans: t.FanHeat,
		a11: t.Tank/Step + t.TankLoss, r1: t.Tank/Step*n.Tank + heat + t.TankLoss*house,
		a22: t.Air/Step + t.BedToAir + t.Cover,
		r2:  t.Air/Step*n.Air + t.BedToAir*n.Bed + t.Cover*house + t.AirSun*level,
	}
}

// air at the step's end at a duty, the vents shut.
func (b *balance) air(d Drive, duty float64) float64 {
	flow, power, _ := d.shares(duty)
	g := b.coil * flow
	return (g*b.r1 + (b.a11+g)*(b.r2+b.fans*power)) / (b.a11*b.a22 + (b.a11+b.a22)*g)
}
