// Package cable says what a pair of copper wires costs in volts, and where its fuse must
// lie. It knows no heat, no bundle and no local code: what a cable may carry is what its
// maker and your code say, and is asked of the grower.
package cable
