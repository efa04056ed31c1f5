package season

import "duskloop/sim/plant"

// colder is by how much a greenhouse is colder beside a tunnel and a tank at rest than beside
// those that ran: the heat that they gave it less, of a body that loses it to outdoors,
//
//	C dδ/dt = U_tunnel (T_ran - T_rest) + U_tank (T_ran - T_rest) - δ (G + U_tunnel + U_tank),
//
// the energy balances of the two greenhouses, the one less the other, outdoors, sun and sky
// being the same. Its vents are taken to be shut: by day, when they open, it says too much,
// and no cold is counted then.
type colder struct {
	by           float64 // K
	heat         float64 // J/K
	out          float64 // W/K, to outdoors
	tunnel, tank float64 // W/K, to the greenhouse
}

func newColder(p *plant.Params) *colder {
	g := &p.Greenhouse
	return &colder{heat: float64(g.Air), out: float64(g.Cover + g.Leak), tunnel: float64(p.Tunnel.Cover), tank: float64(p.Tank.Loss)}
}

// pass a minute, by an implicit step.
func (c *colder) pass(ran, rest plant.State) {
	if c.heat <= 0 || c.out <= 0 {
		return
	}
	k := minute.Seconds() / c.heat
	less := c.tunnel*float64(ran.Tunnel-rest.Tunnel) + c.tank*float64(ran.Tank-rest.Tank)
	c.by = (c.by + k*less) / (1 + k*(c.out+c.tunnel+c.tank))
}
