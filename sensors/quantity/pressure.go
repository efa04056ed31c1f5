package quantity

// Kilopascal is a pressure, absolute unless its name says otherwise.
type Kilopascal float64

// kilopascalPsi is one pound-force on a square inch: 0.45359237 kg times standard
// gravity 9.80665 m/s² on (25.4 mm)², exact by definition of all three.
const kilopascalPsi = 0.45359237 * 9.80665 / (25.4 * 25.4) * 1e3

// Set reads a pressure such as "101.3 kPa", "1.5 bar" or "30 psi".
func (p *Kilopascal) Set(text string) error {
	return set(p, text, "a pressure", []unit{
		{names: []string{"kPa"}, scale: 1},
		{names: []string{"bar"}, scale: 100},
		{names: []string{"mbar", "hPa"}, scale: 0.1},
		{names: []string{"psi"}, scale: kilopascalPsi},
	})
}

// String prints kilopascals.
func (p Kilopascal) String() string { return p.In(SI) }

// In prints kilopascals or pounds a square inch.
func (p Kilopascal) In(u Units) string {
	if u == US {
		return trim(float64(p)/kilopascalPsi, 1) + " psi"
	}
	return trim(float64(p), 1) + " kPa"
}
