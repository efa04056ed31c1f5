package control

import "duskloop/sensors/quantity"

// A cold lead-acid battery gives less than it holds, and its acid, weak when the
// charge is low, can freeze. So its reserve rises by what the cold locks up, and the
// cut-off's voltage to that of a charge higher by as much.

// coldLead is the capacity of a lead-acid battery against temperature, as a share of
// that at 25 °C: 65, 82.5 and 100 % at -15, 0 and 25 °C (middle of common ranges, from
// memory, unverified). Colder than -15 °C counts as that. At 40 % of charge the acid
// freezes near -9 °C, flat near 0 °C (a weak source): the floor that follows for -9 °C,
// 28 % and the cut-off's own charge, lies about there.
var coldLead = [3]struct {
	at    quantity.Celsius
	holds quantity.Share
}{{-15, 0.65}, {0, 0.825}, {25, 1}}

// lockedByCold is the share of the charge that cannot be drawn at a temperature. A
// battery whose temperature is not known counts as warm, and LiFePO4 keeps its
// floors: it does not freeze.
func lockedByCold(c Chemistry, cell known) quantity.Share {
	if c == LFP || !cell.ok {
		return 0
	}
	first := coldLead[0]
	if cell.c <= first.at {
		return 1 - first.holds
	}
	for _, next := range coldLead[1:] {
		if cell.c < next.at {
			part := quantity.Share((cell.c - first.at) / (next.at - first.at))
			return 1 - (first.holds + part*(next.holds-first.holds))
		}
		first = next
	}
	return 0
}

// floors are the battery's thresholds as they stand at its temperature.
type floors struct {
	reserve           quantity.Share
	cutOff, reconnect quantity.Volt
}

// highestReserve leaves comfort something even in the deepest cold.
const highestReserve = quantity.Share(0.9)

func (b *Battery) floors(cell known) floors {
	locked := lockedByCold(b.Chemistry, cell)
	if locked == 0 {
		return floors{b.Reserve, b.CutOff, b.Reconnect}
	}
	curve := restCurve(b.Chemistry)
	from, _ := curve.read(b.CutOff)
	lift := curve.at(min(from+locked, 1)) - curve.at(from)
	return floors{
		reserve: max(b.Reserve, min(b.Reserve+locked, highestReserve-b.Recovery)),
		cutOff:  b.CutOff + lift,
		// Never above a full battery at rest, or it would not come back.
		reconnect: max(b.Reconnect, min(b.Reconnect+lift, curve.top()-topMargin)),
	}
}

// ReserveAt is the reserve as it stands with the battery at a temperature: risen in
// the cold for lead-acid. A temperature that is not known counts as warm.
func (b *Battery) ReserveAt(c quantity.Celsius, told bool) quantity.Share {
	return b.floors(known{c: c, ok: told}).reserve
}

// topMargin keeps the reconnect voltage within reach of a rested full battery read by a
// meter that is 0.5 % wrong. Chosen.
const topMargin = quantity.Volt(0.06)

// at is the voltage of a share, the curve read backwards.
func (k curve) at(share quantity.Share) quantity.Volt {
	i := 0
	for i < len(k.share)-2 && share >= k.share[i+1] {
		i++
	}
	part := (share - k.share[i]) / (k.share[i+1] - k.share[i])
	return k.volts[i] + quantity.Volt(min(max(part, 0), 1))*(k.volts[i+1]-k.volts[i])
}

// chargeForbidden is where charging a LiFePO4 battery must have stopped: below 0 °C it
// plates lithium for good, and a low current does not make it safe (a vendor's page on
// a common cell, read); 2 K above, because the cell counts and not the probe.
const chargeForbidden quantity.Celsius = 2

// coldCharge says that a LiFePO4 battery is charged although it is too cold.
func (v *view) coldCharge(margin quantity.Kelvin) bool {
	b := &v.s.Battery
	if b.Chemistry != LFP || !v.cell.ok || v.cell.c >= chargeForbidden.Plus(margin) {
		return false
	}
	return v.in.Meter.HasAmps && v.meterKnown() && float64(v.in.Meter.Amps) > float64(b.Capacity)*chargeRate
}
