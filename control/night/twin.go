package night

// Step is how long one of the twin's steps is, s, and Slot the same in the memory.
const Step = 600.0

// Twin is the small model's greenhouse.
type Twin struct {
	Tank, Air, Bed      float64 // J/K
	TankLoss            float64 // W/K, to the greenhouse air
	Coil                float64 // W/K at full duty
	Cover               float64 // W/K, tunnel air to greenhouse air
	BedToAir, BedToSoil float64 // W/K
	Soil                float64 // °C
	Element             float64 // W in full sun
	Limit               float64 // °C, above which the element gives nothing
	AirSun, BedSun      float64 // W under 1000 W/m² on the level
	VentOpens, Vent     float64 // °C; W/K wide open, VentBand higher
	VentBand            float64 // K
	FanHeat             float64 // W into the tunnel at full duty
	Draw, Base          float64 // W of the battery: pump and fans at full duty; always
	Panel               float64 // W, the battery's own, in full sun
	Capacity            float64 // Wh of the full battery
	Efficiency          float64 // of charging
}

// Now is where the twin starts.
type Now struct {
	Tank, Air, Bed float64 // °C
	Charge         float64 // Wh
}

// Ahead are air and sun ahead, one value for each step.
type Ahead struct {
	House []float64 // °C
	Sun   []float64 // in the panels' plane, as a share of 1000 W/m²
	Level []float64 // on the level, as a share of 1000 W/m²; nil: about as usual
}

// link is one implicit step made ready, for the way back too.
type link struct {
	tank, air, bed float64 // at its end
	charge         float64
	a11, a22, flow float64 // the matrix of tank and air; flow is Coil times its share
	full           bool    // the battery took no more
}

// after lets one step pass: the ends of n under a house air, a sun in the panels' plane
// and on the level, and the shares of the coil's conductance and of the drawn power.
func (t *Twin) after(n *Now, house, sun, level, flow, power float64, out *link) {
	const h = Step
	heat := t.Element * sun * sun
	if n.Tank >= t.Limit {
		heat = 0
	}
	g := t.Coil * flow
	a11 := t.Tank/h + t.TankLoss + g
	a22 := t.Air/h + t.BedToAir + t.Cover + g
	r1 := t.Tank/h*n.Tank + heat + t.TankLoss*house
	r2 := t.Air/h*n.Air + t.BedToAir*n.Bed + t.Cover*house + t.FanHeat*power + t.AirSun*level
	air := (g*r1 + a11*r2) / (a11*a22 - g*g)
	if air > t.VentOpens && t.Vent > 0 {
		v := t.vented(house, g, a11, a22, r1, r2)
		a22, r2 = a22+v, r2+v*house
		air = (g*r1 + a11*r2) / (a11*a22 - g*g)
	}
	out.a11, out.a22, out.flow = a11, a22, g
	out.tank, out.air = (r1+g*air)/a11, air
	out.bed = (t.Bed/h*n.Bed + t.BedToAir*air + t.BedToSoil*t.Soil + t.BedSun*level) / (t.Bed/h + t.BedToAir + t.BedToSoil)
	charge := n.Charge + (t.Efficiency*t.Panel*sun-t.Base-t.Draw*power)*h/3600
	out.full = charge > t.Capacity
	out.charge = min(charge, t.Capacity)
}

// vented is the vent's conductance that agrees with the air it leaves, by halving.
func (t *Twin) vented(house, g, a11, a22, r1, r2 float64) float64 {
	low, high := 0.0, 1.0
	for range 8 {
		x := (low + high) / 2
		v := t.Vent * x
		air := (g*r1 + a11*(r2+v*house)) / (a11*(a22+v) - g*g)
		if air > t.VentOpens+t.VentBand*x {
			low = x
		} else {
			high = x
		}
	}
	return t.Vent * (low + high) / 2
}

// end is where a link leaves the twin.
func (l *link) end() Now { return Now{Tank: l.tank, Air: l.air, Bed: l.bed, Charge: l.charge} }

// Light says that the tunnel's air follows cover and bed within one of the twin's steps: a
// run of minutes swings it by many K, and a slot's mean says more of it than a moment does.
// Where that begins is our choice.
func (t *Twin) Light() bool { return t.Air < Step*(t.Cover+t.BedToAir) }
