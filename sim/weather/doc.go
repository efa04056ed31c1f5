// Package weather says what the sky and the outdoor air do at any instant.
//
// A Source answers for a time; the plant does not care whether a generator or a
// file stands behind it. Sample values are instantaneous: air and dew point in
// °C, irradiance in W/m² (global horizontal, direct normal, diffuse horizontal),
// wind in m/s, cloud as a share of the sky.
//
// Generator invents days from monthly mean minima and maxima with spells of
// clear, hazy and overcast sky. It is a pure function of seed and time: the same
// seed gives the same winter, and any instant may be asked for in any order. It
// is meant to exercise a controller, not to stand for a real place: it knows no
// rain, snow, fronts or pressure, and its figures are invented.
//
// Read reads weather files in five layouts, told by their content, and notes with
// its line whatever it leaves out. Series plays a file as a Source.
//
// Generator and Series need the sun, but the sim subjects do not import one another:
// they are handed a Sky, which sun.Site satisfies.
package weather
