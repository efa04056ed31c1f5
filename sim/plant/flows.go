package plant

// The six temperatures that are solved, and behind them the three that are given.
const (
	nTank = iota
	nCoil
	nReturn
	nAir
	nBed
	nHouse
	nodes
)
const (
	atOutdoors = nodes + iota
	atSoil
	atZero // 0 °C, from which a stream's heat is counted; also where power comes from
	points
)

// temps are the temperatures at all points, °C.
type temps [points]float64

// flow is one way heat takes. Each is integrated on its own.
type flow int

const (
	byElement  flow = iota // into the tank
	byPump                 // into the tank
	standing               // tank to greenhouse
	outward                // liquid, tank to coil
	across                 // liquid, coil to return
	back                   // liquid, return to tank
	byCoil                 // return (the liquid that leaves the coil) to tunnel air
	direct                 // tank to tunnel air, by a loop that holds no liquid
	coilRest               // coil to tunnel air without the exchanger
	returnRest             // return to tunnel air
	byFans                 // into the tunnel air
	sunOnAir               // into the tunnel air
	sunOnBed               // into the bed
	bedToAir
	bedToSoil
	tunnelCover // tunnel air to greenhouse
	tunnelVent  // tunnel air to greenhouse
	sunOnHouse  // into the greenhouse
	motorsOut   // of pump and fans, into the greenhouse
	houseCover  // greenhouse to outdoors
	houseLeak   // greenhouse to outdoors
	houseVent   // greenhouse to outdoors
	houseSky    // greenhouse to the night sky
	evaporation // out of the open tank
	steam       // out of the boiling tank
	flows       // how many
)

// way is how a flow runs: from one point to another, driven by the difference of
// two, which for the streams and the coil are not its ends.
type way struct{ from, to, hot, cold uint8 }

func between(a, b uint8) way    { return way{a, b, a, b} }
func into(node uint8) way       { return way{atZero, node, atZero, atZero} }
func stream(from, to uint8) way { return way{from, to, from, atZero} }

// ways of all flows. What a stream takes from one node is what it brings to the
// next, both counted from 0 °C. The coil takes its heat from the liquid that leaves
// it, in measure of the liquid that enters.
var ways = [flows]way{
	byElement:   into(nTank),
	byPump:      into(nTank),
	standing:    between(nTank, nHouse),
	outward:     stream(nTank, nCoil),
	across:      stream(nCoil, nReturn),
	back:        stream(nReturn, nTank),
	byCoil:      {nReturn, nAir, nCoil, nAir},
	direct:      between(nTank, nAir),
	coilRest:    between(nCoil, nAir),
	returnRest:  between(nReturn, nAir),
	byFans:      into(nAir),
	sunOnAir:    into(nAir),
	sunOnBed:    into(nBed),
	bedToAir:    between(nBed, nAir),
	bedToSoil:   between(nBed, atSoil),
	tunnelCover: between(nAir, nHouse),
	tunnelVent:  between(nAir, nHouse),
	sunOnHouse:  into(nHouse),
	motorsOut:   into(nHouse),
	houseCover:  between(nHouse, atOutdoors),
	houseLeak:   between(nHouse, atOutdoors),
	houseVent:   between(nHouse, atOutdoors),
	houseSky:    {nHouse, atZero, atZero, atZero},
	evaporation: {nTank, atZero, atZero, atZero},
	steam:       {nTank, atZero, atZero, atZero},
}

// laws are all flows over one substep: conductance in W/K times the difference of a
// way's hot and cold point, plus power in W.
type laws struct{ conductance, power [flows]float64 }

// at is one flow in W at temperatures x.
func (l *laws) at(f flow, x *temps) float64 {
	w := &ways[f]
	return l.conductance[f]*(x[w.hot]-x[w.cold]) + l.power[f]
}
