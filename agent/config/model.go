package config

import "duskloop/sensors/quantity"

// Model is what only the simulation asks about a loop. Zero switches a single
// effect off, or leaves a figure to be worked out.
type Model struct {
	Fitted      Text                    // a file of figures by the record; empty: none
	TankHeat    quantity.JoulePerKelvin // lumped; zero: by volume and mix
	OpenSurface quantity.SquareMetre
	TaperFrom   quantity.Celsius // of the tank: the element's power falls from here
	TaperBand   quantity.Kelvin  // to nothing so much higher; zero: it does not

	PumpHead               quantity.Metre
	PipeBore, PipeLength   quantity.Metre
	CoilFins               quantity.WattPerKelvin // zero: the coil's lumped conductance
	CoilAir                quantity.CubicMetreSecond
	CoilBore, CoilLength   quantity.Metre
	CoilCircuits           Count
	FansInTunnel, PumpHeat quantity.Share

	TunnelAir  quantity.JoulePerKelvin // lumped; zero: by volume
	TunnelSun  quantity.SquareMetre
	SunToBed   quantity.Share // of that; the rest warms the air
	TunnelVent Vent
	BedToAir   quantity.WattPerKelvin
	BedToSoil  quantity.WattPerKelvin
	Soil       quantity.Celsius

	HouseAir  quantity.JoulePerKelvin // lumped; zero: by floor
	HouseSun  quantity.Share          // of the floor
	HouseVent Vent
	SkyShare  quantity.Share
}

// Vent is an opener that follows the temperature.
type Vent struct {
	Conductance quantity.WattPerKelvin // when open; zero: none
	Opens       quantity.Celsius
	Band        quantity.Kelvin // from closed to wide open
}

// Nameplate is the label of the element's panels. All zero: a generic 12 V-class
// panel of the stated power.
type Nameplate struct {
	Voc, Vmp         quantity.Volt
	Isc, Imp         quantity.Ampere
	Cells            Count
	Alpha, Beta      quantity.PerKelvin
	Series, Parallel Count
}

// Given says whether any of the label is given.
func (n Nameplate) Given() bool {
	return n.Voc != 0 || n.Vmp != 0 || n.Isc != 0 || n.Imp != 0 || n.Cells != 0
}
