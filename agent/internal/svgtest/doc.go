// Package svgtest reads pictures back for tests: as a tree to compare with a golden
// file, as paths to compare with the values they were drawn from, and as texts to
// see whether they overlap. It knows SVG 1.1 as far as our pictures use it, and
// nothing of how they are drawn.
package svgtest
