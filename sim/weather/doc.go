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
// What Read lets pass: air of -90 to 60 °C and global irradiance of -15 to 1600 W/m²,
// else the row is left out; direct irradiance of -15 to 1500 and diffuse of -15 to 1000
// W/m², wind of 0 to 115 m/s, cloud of 0 to the whole sky, dew point of -100 to 60 °C,
// relative humidity of 0 to 110 % (0.5 % and air of -40 to 50 °C to make a dew point of
// it), else the value is. Below zero, light is darkness; a dew point above the air is
// held to the air. Steps are 1 minute to 3 hours, places lie between -500 and 6000 m, and
// clocks -12 to 14 h from UTC. Nobody checks that the three irradiances agree with one
// another or with the sun; Lag tells a wrong clock.
//
// Generator and Series need the sun, but the sim subjects do not import one another:
// they are handed a Sky, which sun.Site satisfies.
package weather
