package plant

// The six temperatures that are solved.
const (
	nTank = iota
	nCoil
	nReturn
	nAir
	nBed
	nHouse
	nodes
)

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
	steam       // out of the tank
	flows       // how many
)

// Ends outside the six nodes.
const outside = -1

// ends says from which node to which each flow goes.
var ends = [flows]struct{ from, to int }{
	byElement:   {outside, nTank},
	byPump:      {outside, nTank},
	standing:    {nTank, nHouse},
	outward:     {nTank, nCoil},
	across:      {nCoil, nReturn},
	back:        {nReturn, nTank},
	byCoil:      {nReturn, nAir},
	coilRest:    {nCoil, nAir},
	returnRest:  {nReturn, nAir},
	byFans:      {outside, nAir},
	sunOnAir:    {outside, nAir},
	sunOnBed:    {outside, nBed},
	bedToAir:    {nBed, nAir},
	bedToSoil:   {nBed, outside},
	tunnelCover: {nAir, nHouse},
	tunnelVent:  {nAir, nHouse},
	sunOnHouse:  {outside, nHouse},
	motorsOut:   {outside, nHouse},
	houseCover:  {nHouse, outside},
	houseLeak:   {nHouse, outside},
	houseVent:   {nHouse, outside},
	houseSky:    {nHouse, outside},
	steam:       {nTank, outside},
}

// drive is a flow's law over one substep: k (T[hot] - T[cold]) + constant, in W.
// An index of outside means the fixed temperature beside it.
// The streams carry heat counted from 0 °C, so that what leaves one node is what
// enters the next.
type drive struct {
	hot, cold int
	k         float64
	fixed     float64 // °C of the end outside
	constant  float64 // W
}

// at is the flow in W at temperatures x.
func (d *drive) at(x *[nodes]float64) float64 {
	if d.k == 0 {
		return d.constant
	}
	hot, cold := d.fixed, d.fixed
	if d.hot >= 0 {
		hot = x[d.hot]
	}
	if d.cold >= 0 {
		cold = x[d.cold]
	}
	return d.k*(hot-cold) + d.constant
}
