package config

import (
	"slices"

	"duskloop/sensors/quantity"
)

// limitFields are the temperatures and times by which the loop is run. They
// may be changed while it runs.
func limitFields() []field {
	return slices.Concat(tankFields(), cropFields(), carryFields(), planFields(), proofFields())
}

func tankFields() []field {
	return []field{
		{key: "tank.hot", about: "Contactor opens and heat is shed.", initial: "80 °C", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Tank.Hot }, 40, 92)},
		{key: "tank.dangerously_hot", about: "Heat is shed even into a tunnel that is too warm for the crop.", initial: "88 °C", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Tank.Danger }, 45, 95)},
		{key: "tank.hysteresis", about: "Both end this far below.", initial: "4 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Tank.Hysteresis }, 1, 20)},
		{key: "tank.contactor_rest", about: "The contactor stays open at least so long.", initial: "5 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Tank.MinOpen }, seconds(10), seconds(7200))},
	}
}

func cropFields() []field {
	return []field{
		{key: "crop.kind", about: "What you grow: it gives those of the temperatures below that you do not write yourself; duskloop check says which, and from where. Empty: the defaults as they stand here.",
			at: words(kinds()+", or nothing", func(_ *File, l *Loop) *CropKind { return &l.Crop.Kind })},
		{key: "crop.minimum", about: "Tunnel air below it is answered with heat whatever the start difference.", initial: "5 °C", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Crop.Minimum }, -10, 25)},
		{key: "crop.comfortable", about: "Above it heat is kept for later.", initial: "12 °C", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Crop.Comfort }, -5, 35)},
		{key: "crop.maximum", about: "Above it even a hot tank waits until it is dangerously hot.", initial: "30 °C", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Crop.Maximum }, 10, 45)},
		{key: "crop.harm", about: "Where cold does lasting harm, for the plan of the night. Each minute below the minimum counts by the square of its deficit; from here down that square counts twice at 1 K below, three times at 2 K, and so on. -40 °C: it never does.", initial: "-40 °C", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Celsius { return &l.Crop.Harm }, harmless, 25)},
	}
}

func carryFields() []field {
	return []field{
		{key: "carry.spend", about: "plan looks ahead and saves heat for the coldest hours; it needs probes at tank, tunnel and greenhouse, and learns from the record. difference runs by start_difference and stop_difference alone.", initial: "plan",
			at: words("plan or difference", func(_ *File, l *Loop) *Spending { return &l.Carry.Spend })},
		{key: "carry.speed", about: "How fast a plan runs pump and fans: full (off or at their duty) or varied (slower where that serves; both need pwm).", initial: "full",
			at: words("full or varied", func(_ *File, l *Loop) *Speed { return &l.Carry.Speed })},
		{key: "carry.start_difference", about: "Tank warmer than tunnel by this: carrying starts.", initial: "8 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Carry.Start }, 1, 40)},
		{key: "carry.stop_difference", about: "Carrying stops, at the latest.", initial: "3 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Carry.Stop }, 0.5, 30)},
		{key: "carry.worthwhile", about: "Heat moved per electrical watt below which carrying stops.", initial: "5", live: true,
			at: number(func(_ *File, l *Loop) *Ratio { return &l.Carry.Worth }, 0, 50)},
		{key: "carry.minimum_run", about: "For comfort; safety ignores it.", initial: "3 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Carry.MinRun }, seconds(30), seconds(3600))},
		{key: "carry.minimum_rest", about: "For comfort; safety ignores it.", initial: "5 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Carry.MinRest }, seconds(30), seconds(7200))},
		{key: "carry.safety_minimum", about: "Safety's own short run and rest.", initial: "30 s", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Carry.SafetyMin }, seconds(5), seconds(300))},
		{key: "carry.fan_margin", about: "Fans need the coil this much warmer than the tunnel.", initial: "1.5 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Carry.FanMargin }, 0.5, 15)},
		{key: "carry.fan_overrun", about: "Fans go on so long after the pump, while the coil is warm.", initial: "2 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Carry.FanOverrun }, 0, seconds(1800))},
		{key: "carry.stir_every", about: "While the element heats, the pump mixes the tank this often.", initial: "20 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Carry.StirEvery }, seconds(300), seconds(21600))},
		{key: "carry.stir_for", about: "Length of one mixing run.", initial: "3 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Carry.StirFor }, seconds(30), seconds(1800))},
		{key: "carry.stir_rise", about: "Rise of the tank in ten minutes that shows the element heating.", initial: "0.4 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Carry.StirRise }, 0.1, 10)},
		{key: "carry.frost_margin", about: "The frost guard begins this far above the mix's freezing point.", initial: "3 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Carry.FrostMargin }, 1, 10)},
	}
}

// planFields are the plan's own few figures. Their ranges are choices of ours.
func planFields() []field {
	return []field{
		{key: "plan.margin", about: "The plan aims this far above crop.minimum.", initial: "0.1 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Plan.Margin }, 0, 3)},
		{key: "plan.thrift", about: "How dear the plan holds ten minutes of pump and fans, as a share of how hard the last two weeks' cold was: more keeps heat and battery for harder nights, less spends them sooner. By itself it follows tank and tunnel: 0.03 to 0.2.", initial: byItself, live: true,
			at: words(thriftSays, func(_ *File, l *Loop) *Thrift { return &l.Plan.Thrift })},
		{key: "plan.ahead", about: "How far the plan looks ahead. By itself it follows tank and tunnel: 18 to 36 hours.", initial: byItself, live: true,
			at: words(reachSays, func(_ *File, l *Loop) *Reach { return &l.Plan.Ahead })},
	}
}

func proofFields() []field {
	return []field{
		{key: "proof.within", about: "After a start the loop must show within this time that it moves heat.", initial: "60 s", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Proof.Within }, seconds(20), seconds(600))},
		{key: "proof.difference", about: "By temperature only when tank and coil stood this far apart at the start.", initial: "5 K", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Kelvin { return &l.Proof.Difference }, 2, 30)},
		{key: "proof.tries", about: "Failed starts in a row before the loop is halted.", initial: "3", live: true,
			at: number(func(_ *File, l *Loop) *Count { return &l.Proof.Tries }, 1, 20)},
		{key: "proof.try_every", about: "Time between tries.", initial: "10 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Proof.TryEvery }, seconds(60), seconds(14400))},
	}
}

// batteryFields describe the 12 V battery; its thresholds may be changed.
func batteryFields() []field {
	return []field{
		{key: "battery.chemistry", about: "flooded, agm or lifepo4. Vent lead-acid batteries; never charge LiFePO4 below 0 °C.", required: true,
			at: words("flooded, agm or lifepo4", func(_ *File, l *Loop) *Chemistry { return &l.Battery.Chemistry })},
		{key: "battery.capacity", about: "At the 20 h rate, as printed on it.", required: true,
			at: between(func(_ *File, l *Loop) *quantity.AmpereHour { return &l.Battery.Capacity }, 1, 2000)},
		{key: "battery.resistance", about: "Internal, with the leads up to the meter.", initial: "20 mohm",
			at: between(func(_ *File, l *Loop) *quantity.Ohm { return &l.Battery.Resistance }, 0.0005, 1)},
		{key: "battery.panel", about: "The battery's own panel.", initial: "40 W",
			at: between(func(_ *File, l *Loop) *quantity.Watt { return &l.Battery.Panel }, 0, 5000)},
		{key: "battery.place", about: "Place whose probe stands for the battery's temperature; best that on its case, called as the place that you can spare. Cold, its reserve and cut-off rise, and LiFePO4 must not be charged. Empty: it counts as warm.", initial: "greenhouse",
			at: words("a place of [probes], or nothing", func(_ *File, l *Loop) *Where { return &l.Battery.Where })},
		{key: "battery.rest_draw", about: "What flows out through the meter when pump and fans are off and no sun shines, measured once with a good multimeter: it teaches the meter's zero. Negative: not known.", initial: "-1 A",
			at: between(func(_ *File, l *Loop) *quantity.Ampere { return &l.Battery.RestDraw }, -1, 5)},
		{key: "battery.controller", about: "What joins that panel to the battery: direct (a switching controller: the panel works at the battery's voltage) or maximum-power. For the simulation.", initial: "direct",
			at: words("direct or maximum-power", func(_ *File, l *Loop) *Coupling { return &l.Battery.Controller })},
		{key: "battery.tilt", about: "That panel from the horizontal. Negative: as the element's.", initial: "-1 deg",
			at: between(func(_ *File, l *Loop) *quantity.Angle { return &l.Battery.Tilt }, -1, 90)},
		{key: "battery.facing", about: "Where that panel looks, clockwise from north. Negative: as the element's.", initial: "-1 deg",
			at: between(func(_ *File, l *Loop) *quantity.Angle { return &l.Battery.Facing }, -1, 360)},
		{key: "battery.computer", about: "What this computer draws, all the time.", initial: "2 W",
			at: between(func(_ *File, l *Loop) *quantity.Watt { return &l.Battery.Computer }, 0, 100)},
		{key: "battery.reserve", about: "Below this charge comfort heat waits.", initial: "50 %", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Battery.Reserve }, 0.05, 0.95)},
		{key: "battery.recovery", about: "The reserve ends this far above.", initial: "8 %", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Share { return &l.Battery.Recovery }, 0.01, 0.5)},
		{key: "battery.cut_off", about: "Voltage freed of load at which pump and fans stop.", initial: "11.9 V", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Volt { return &l.Battery.CutOff }, 10.5, 13.2)},
		{key: "battery.reconnect", about: "Voltage freed of load from which they may run again.", initial: "12.5 V", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Volt { return &l.Battery.Reconnect }, 11, 14)},
		{key: "battery.delay", about: "Either must hold so long, so that a pump start cannot trip it.", initial: "40 s", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Battery.Delay }, seconds(30), seconds(60))},
		{key: "battery.blind_after", about: "A last voltage older than this counts as below cut-off.", initial: "30 min", live: true,
			at: between(func(_ *File, l *Loop) *quantity.Span { return &l.Battery.BlindAfter }, seconds(60), seconds(14400))},
	}
}
