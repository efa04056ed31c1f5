package night

import "math"

// The figures that are learned, each as the logarithm of its ratio to the file's.
const (
	ofTank = iota
	ofTankLoss
	ofCoil
	ofElement
	ofAir
	ofCover
	ofBed
	ofBedToAir
	ofBedToSoil
	ofAirSun
	ofBedSun
	ofFanHeat
	figures // how many
)

// names of the figures, for reports.
var names = [figures]string{
	"tank heat", "tank loss", "coil", "element", "tunnel air heat", "tunnel cover", "bed heat",
	"bed to air", "bed to soil", "sun on air", "sun on bed", "fan heat",
}

// units of the figures; the sun's under 1000 W/m² on the level.
var units = [figures]string{"J/K", "W/K", "W/K", "W", "J/K", "W/K", "J/K", "W/K", "W/K", "W", "W", "W"}

// at is where a twin keeps a figure.
func (t *Twin) at(i int) *float64 {
	switch i {
	case ofTank:
		return &t.Tank
	case ofTankLoss:
		return &t.TankLoss
	case ofCoil:
		return &t.Coil
	case ofElement:
		return &t.Element
	case ofAir:
		return &t.Air
	case ofCover:
		return &t.Cover
	case ofBed:
		return &t.Bed
	case ofBedToAir:
		return &t.BedToAir
	case ofBedToSoil:
		return &t.BedToSoil
	case ofAirSun:
		return &t.AirSun
	}
	if i == ofFanHeat {
		return &t.FanHeat
	}
	return &t.BedSun
}

// times is the twin with its figures times e to the logarithms.
func (t Twin) times(logs *[figures]float64) Twin {
	for i, x := range logs {
		*t.at(i) *= math.Exp(x)
	}
	return t
}
