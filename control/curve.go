package control

import "duskloop/sensors/quantity"

// curve is rest voltage against state of charge, both rising.
type curve struct {
	volts []quantity.Volt
	share []quantity.Share
	steep quantity.Volt // a share is told only where ten percent span at least so much
}

// Rest voltages of 12 V batteries near 25 °C. Their temperature coefficient at
// rest is small (about +1 to +1.5 mV/K, from memory, unverified) and left out.
//
// Flooded and AGM: tables of the kind that the battery trade's council
// publishes; from memory, unverified. LFP: four cells of a published cell
// table (2.013 V empty to 3.348 V full); its 30 to 90 % spans 0.27 V only, so
// that there the voltage tells nothing.
func restCurve(c Chemistry) curve {
	switch c {
	case AGM:
		return curve{
			volts: agmVolts[:], share: quarters[:], steep: 0.05,
		}
	case LFP:
		return curve{volts: lfpVolts[:], share: tenths[:], steep: 0.12}
	}
	return curve{volts: floodedVolts[:], share: quarters[:], steep: 0.05}
}

var (
	quarters     = [...]quantity.Share{0, 0.25, 0.50, 0.75, 1}
	floodedVolts = [...]quantity.Volt{11.89, 12.06, 12.24, 12.45, 12.65}
	agmVolts     = [...]quantity.Volt{11.80, 12.05, 12.30, 12.60, 12.85}
	tenths       = [...]quantity.Share{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}
	lfpVolts     = [...]quantity.Volt{8.05, 12.27, 12.64, 12.78, 12.84, 12.88, 12.92, 12.98, 13.02, 13.05, 13.39}
)

// top is the voltage of a full battery at rest.
func (k curve) top() quantity.Volt { return k.volts[len(k.volts)-1] }

// read looks up the curve, and says whether it is steep enough there to tell.
// Outside the table the nearest end is meant.
func (k curve) read(v quantity.Volt) (quantity.Share, bool) {
	last := len(k.volts) - 1
	switch {
	case v <= k.volts[0]:
		return k.share[0], true
	case v >= k.volts[last]:
		return k.share[last], true
	}
	i := 0
	for v >= k.volts[i+1] {
		i++
	}
	dv, ds := k.volts[i+1]-k.volts[i], k.share[i+1]-k.share[i]
	part := quantity.Share((v - k.volts[i]) / dv)
	return k.share[i] + part*ds, dv/quantity.Volt(ds)*0.1 >= k.steep
}

// chargeEfficiency is ampere-hours stored per ampere-hour put in: lead-acid
// about 0.85 (a weak source, read), LFP above 0.99 (from memory, unverified).
func (c Chemistry) chargeEfficiency() float64 {
	if c == LFP {
		return 0.99
	}
	return 0.85
}

// fullVoltage is where, with a small current, the charger holds a full battery:
// 13.5 V float for lead-acid, 13.5 V for four LFP cells (common practice,
// no source), less half a percent for the meter. Too high, and a battery that floats is
// never known to be full.
func (c Chemistry) fullVoltage() quantity.Volt { return 13.43 }

// RestCharge is the state of charge that a rest voltage stands for, near 25 °C;
// outside the chemistry's table the nearest end is meant.
func RestCharge(c Chemistry, v quantity.Volt) quantity.Share {
	share, _ := restCurve(c).read(v)
	return share
}
