package plant

import (
	"time"

	"duskloop/sensors/quantity"
)

// Act is what the controller commands.
type Act struct {
	Pump, Fans quantity.Share // duty
	// ElementConnected: the contactor between panel and element is closed. A plant
	// without a contactor is always connected.
	ElementConnected bool
	// ChargerOff holds the charger of the battery off.
	ChargerOff bool
}

// State is the truth about the plant at an instant, before any probe.
type State struct {
	Time time.Time

	Tank       quantity.Celsius
	Coil       quantity.Celsius // liquid at the coil's inlet
	Return     quantity.Celsius // liquid on its way back
	Tunnel     quantity.Celsius
	Bed        quantity.Celsius
	Greenhouse quantity.Celsius
	Outdoors   quantity.Celsius

	BatteryVolts  quantity.Volt
	BatteryAmps   quantity.Ampere // into the battery: panel less loads
	BatteryCharge quantity.Share  // true state of charge
	BrownOut      bool            // the battery cannot feed its loads; pump and fans stand

	PanelVolts    quantity.Volt // of the element's panel
	ElementPower  quantity.Watt
	CutOutOpen    bool // the independent thermal cut-out has opened
	Boiling       bool
	BelowFreezing bool          // some liquid is below the mix's freezing point; ice is not modelled
	CoilPower     quantity.Watt // heat into the tunnel by the coil, mean over the last step
	PumpAmps      quantity.Ampere
	Flow          quantity.LitrePerMinute
	PanelSun      quantity.WattPerSquareMetre // in the plane of the element's panel
}

// Meters are running sums since New.
type Meters struct {
	HeatIntoTank quantity.WattHour // by the element
	HeatToTunnel quantity.WattHour // by the coil, net
	TankLoss     quantity.WattHour // standing loss to the greenhouse
	Steam        quantity.WattHour // carried off by boiling
	Evaporation  quantity.WattHour // from the open tank below boiling
	// WaterGone left by both. The tank is taken to be topped up with water: its mix
	// stays.
	WaterGone quantity.Kilogram
	FanHeat   quantity.WattHour // into the tunnel
	PumpHeat  quantity.WattHour // into the liquid

	BatteryUsed quantity.WattHour // drawn by pump and fans
	BaseUsed    quantity.WattHour // drawn by the base load
	PanelGiven  quantity.WattHour // by the battery's panel
	BatteryIn   quantity.WattHour // at the terminals
	BatteryOut  quantity.WattHour // at the terminals
	Unserved    quantity.WattHour // base load that the battery could not feed

	PumpTime time.Duration // at any duty above 0
	FanTime  time.Duration
	// PumpStarts counts changes of the pump from rest to any duty.
	PumpStarts int
}

// Faults are failures on demand.
type Faults struct {
	PumpStuck bool // the pump draws its current, nothing flows
	FanDead   bool // the fans neither blow nor draw
	// PanelCovered cuts the light on both panels to nothing: snow.
	PanelCovered bool
	// ContactorWelded: the element stays connected whatever is commanded.
	ContactorWelded bool
	// ElementDead: nothing flows through it, as behind a blown fuse.
	ElementDead bool
}
