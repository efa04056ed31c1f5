package weather

import "math"

// uniform is a number in 0..1 that belongs to (seed, index, channel): the finaliser
// of SplitMix64 (Steele, Lea & Flood, OOPSLA 2014) over the three.
func (g *Generator) uniform(index int64, channel uint64) float64 {
	z := g.seed + uint64(index)*0x9e3779b97f4a7c15 + channel*0xd1342543de82ef95
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return float64(z>>11) / (1 << 53)
}

// normal is near enough to a standard normal number, and bounded at ±3: the sum of
// three uniforms.
func (g *Generator) normal(index int64, channel uint64) float64 {
	sum := g.uniform(index, channel) + g.uniform(index, channel+0x100) + g.uniform(index, channel+0x200)
	return 2 * (sum - 1.5)
}

// smooth is a number in 0..1 that wanders with x: uniforms at whole x, blended
// between them by the cubic that is level at both ends.
func (g *Generator) smooth(x float64, channel uint64) float64 {
	i := math.Floor(x)
	s := x - i
	s = s * s * (3 - 2*s)
	return blend(g.uniform(int64(i), channel), g.uniform(int64(i)+1, channel), s)
}
