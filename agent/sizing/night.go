package sizing

import (
	"time"

	"duskloop/sim/season"
)

// Night is the winter's coldest in the greenhouse, noon to noon, without heat.
type Night struct {
	Day    time.Time `json:"day"` // on which it begins
	House  float64   `json:"greenhouse_c"`
	Tunnel float64   `json:"tunnel_c"`
	// Asked is the heat that passes the tunnel's cover while its air is held at the crop's
	// minimum, Wh, what the bed gives is not taken off.
	Asked float64 `json:"cover_takes_wh"`
}

// coldestNight of the winter without heat.
func (s *Sketch) coldestNight(off *season.Flight) (n Night) {
	const aDay = 24 * 60
	minimum, cover := float64(s.File.Loop().Crop.Minimum), float64(s.house.Plant.Tunnel.Cover)
	first := 12 * 60 // the season's days begin at midnight by its clock
	for ; first+aDay <= len(off.Seen); first += aDay {
		x := Night{Day: s.Over.Start.Add(time.Duration(first)*time.Minute + s.Over.Offset).UTC().Truncate(24 * time.Hour), House: 99, Tunnel: 99}
		for _, g := range off.Seen[first : first+aDay] {
			x.House, x.Tunnel = min(x.House, float64(g.House)), min(x.Tunnel, float64(g.Tunnel))
			x.Asked += cover * max(0, minimum-float64(g.House)) / 60
		}
		if n.Day.IsZero() || x.House < n.House {
			n = x
		}
	}
	return n
}
