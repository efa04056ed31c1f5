package config

import (
	"duskloop/agent/fitted"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/cable"
)

// File is a whole greenhouse file.
type File struct {
	Path    string // where it was read from; empty for the embedded demo
	Site    Site
	Daemon  Daemon
	Broker  Broker
	Record  Record
	Phone   Phone
	Metrics Metrics
	Page    Page
	Loops   []*Loop
	// Fitted is what model.fitted names; nil without it.
	Fitted *fitted.Greenhouse

	written map[string]int // line of every key that the file has
}

// Loop is the one loop that is built now.
func (f *File) Loop() *Loop { return f.Loops[0] }

// Site is where the greenhouse stands and how its grower reads numbers.
type Site struct {
	Name      Text
	Units     quantity.Units
	Latitude  quantity.Angle
	Longitude quantity.Angle
	Elevation quantity.Metre
}

// Daemon is how often things are read and where the kernel's trees are.
type Daemon struct {
	Period     quantity.Span // between readings and decisions
	StaleAfter quantity.Span // zero: three periods
	Probes     ProbeBus      // what the probes hang on
	SysRoot    Text          // top of the kernel's tree with the 1-Wire bus
	Bridge     Text          // I²C bus of the 1-Wire bridge
	BridgeAt   Count         // its address
	TwoWire    Flag          // some probes take their power from the line
	MeterKind  MeterKind     // what measures the battery
	Meter      Text          // its I²C bus
	MeterAt    Count         // address of an INA219
	Shunt      quantity.Ohm
	Reversed   Flag // the shunt is wired the other way round
	Pulses     Pulses
	ADCAt      Count
	ADCInput   Count // of the battery's divider
	ADCRatio   Ratio // of the battery's divider
	PanelInput Count // of the divider of the element's panel
	PanelRatio Ratio // of that divider; 0: not wired
}

// Pulses is where duties are made.
type Pulses struct {
	Root  Text  // the kernel's tree of PWM chips
	Bus   Text  // I²C bus of a PCA9685
	At    Count // its address
	Hertz Count
}

// Broker is where messages go.
type Broker struct {
	Address      Text // "embedded", "none", or host:port
	Port         Count
	User         Text
	PasswordFile Text
	TLS          Flag
	CAFile       Text // empty: the system's authorities
	CertFile     Text // of the daemon, where the broker wants one
	KeyFile      Text
}

// Record is what is kept and for how long.
type Record struct {
	Keep    quantity.Span // readings; hourly figures, alerts and changes stay
	Commit  quantity.Span // readings are written at least this often
	Backlog Count         // readings kept for a broker that is away
}

// Phone is the grower's message service.
type Phone struct {
	SecretFile Text // empty: nobody is told
	From       Gravity
	Over       Flag
	QuietFrom  TimeOfDay
	QuietTo    TimeOfDay
	Hourly     Count
}

// Metrics is where figures are served to machines.
type Metrics struct {
	Listen Text // "none", or host:port
}

// Page is the local page.
type Page struct {
	Listen   Text // "none", or host:port
	Names    Text // hosts by which it is opened, with commas between
	Reading  Reading
	CertFile Text
	KeyFile  Text
}

// Loop is one tank with its pump, fans and tunnel.
type Loop struct {
	Name      string
	Tank      Tank
	Element   Element
	Label     Nameplate // of the element's panels
	Coil      Coil
	Pump      Drive
	Fans      Drive
	Contactor Line
	Buzzer    Line
	Charger   Line // active: the battery's charger is held off
	Level     Line
	Tunnel    Tunnel
	House     House
	Model     Model
	Crop      Crop
	Carry     Carry
	Plan      Plan
	Proof     Proof
	Battery   Battery
	Cables    Cables
	Probes    [control.Places]Probe
}

// Cables are the three runs of cable, for sums. A zero length is not told.
type Cables struct {
	Element, Load, Charge cable.Pair // to the element; to pump and fans; from the battery's panel
}

// Tank is the vessel and its limits.
type Tank struct {
	Volume     quantity.Litre
	Glycerin   quantity.Share
	Loss       quantity.WattPerKelvin
	Closed     Flag           // a closed vessel
	Relief     Flag           // with a relief valve
	Vessel     quantity.Litre // its inside volume; 0 if not told
	Hot        quantity.Celsius
	Danger     quantity.Celsius
	Hysteresis quantity.Kelvin
	MinOpen    quantity.Span
}

// Element is the immersion heater and its panel.
type Element struct {
	Panel      quantity.Watt
	Resistance quantity.Ohm
	Tilt       quantity.Angle
	Facing     quantity.Angle
	Cable      quantity.Ohm
	CutOut     quantity.Celsius
}

// Coil is the finned heat exchanger and its pipes.
type Coil struct {
	Conductance quantity.WattPerKelvin
	Flow        quantity.LitrePerMinute
	Volume      quantity.Litre
}

// Drive is a motor on an output line, dimmed or not.
type Drive struct {
	Line
	Draw    quantity.Watt  // at its duty
	Dim     Dim            // what sets the duty
	DimChip Count          // number of the kernel's chip
	Channel Count          // of the chip or the generator
	Duty    quantity.Share // at which it runs
	// Stated is the duty in the file, at which Draw and the coil's figures are stated: Duty may
	// be changed while running, and they do not change with it.
	Stated quantity.Share
}

// Fitted says whether anything switches the drive.
func (d Drive) Fitted() bool { return d.Line.Fitted() || d.Dim != NoDim }

// Line is one line of a GPIO chip.
type Line struct {
	Chip   Text  // label of the chip; empty: not fitted
	Number Count // of the line on it
	Low    Flag  // active low
}

// Fitted says whether the line is described.
func (l Line) Fitted() bool { return l.Chip != "" }

// Tunnel is the cover over the seedlings, for sums and simulation.
type Tunnel struct {
	Volume quantity.Litre
	Cover  quantity.WattPerKelvin // lumped; zero: by Area, Layers and Changes
	Glazing
	Bed quantity.JoulePerKelvin
}

// Glazing is a cover by what can be measured of it.
type Glazing struct {
	Area    quantity.SquareMetre
	Layers  Count
	Changes Ratio // of air, an hour
}

// House is the greenhouse around it, for simulation.
type House struct {
	Floor quantity.SquareMetre
	Cover quantity.WattPerKelvin // lumped; zero: by Area, Layers and Changes
	Glazing
}

// Crop is what the seedlings stand.
type Crop struct {
	Kind                            CropKind
	Minimum, Comfort, Maximum, Harm quantity.Celsius
}

// Carry is when heat is carried.
type Carry struct {
	Spend           Spending
	Speed           Speed
	Start, Stop     quantity.Kelvin
	Worth           Ratio
	MinRun, MinRest quantity.Span
	SafetyMin       quantity.Span
	FanMargin       quantity.Kelvin
	FanOverrun      quantity.Span
	StirEvery       quantity.Span
	StirFor         quantity.Span
	StirRise        quantity.Kelvin
	FrostMargin     quantity.Kelvin
}

// Plan is how a plan spends heat; what stands by itself follows the plant.
type Plan struct {
	Margin quantity.Kelvin
	Thrift Thrift
	Ahead  Reach
}

// Proof is how the loop shows that it moves heat.
type Proof struct {
	Within     quantity.Span
	Difference quantity.Kelvin
	Tries      Count
	TryEvery   quantity.Span
}

// Battery is the 12 V battery and where it is spared.
type Battery struct {
	Chemistry  Chemistry
	Capacity   quantity.AmpereHour
	Resistance quantity.Ohm
	Panel      quantity.Watt
	Controller Coupling       // of that panel
	Tilt       quantity.Angle // of it; negative: as the element's
	Facing     quantity.Angle // likewise
	Computer   quantity.Watt
	RestDraw   quantity.Ampere // negative: not known
	Reserve    quantity.Share
	Recovery   quantity.Share
	CutOff     quantity.Volt
	Reconnect  quantity.Volt
	Delay      quantity.Span
	BlindAfter quantity.Span
	Where      Where
}

// Probe is the name of a 1-Wire device; empty where none is fitted.
type Probe struct {
	ID          Text
	Calibration Calibration
}
