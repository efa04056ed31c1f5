// Package sun finds the sun and the light it gives: position, sunrise and
// sunset, clear-sky irradiance, the split of global into direct and diffuse, and
// the irradiance of a tilted plane.
//
// Units: angles in degrees (quantity.Angle), azimuth from north clockwise;
// irradiance in W/m². Zenith is the angle from the vertical.
//
// Position is Meeus' "low accuracy" sun with aberration, the main nutation term,
// the largest pulls of Moon, Venus and Jupiter, and the parallax of the observer.
// Against the Solar Position Algorithm (Reda & Andreas, NREL/TP-560-34302) it is
// within 0.004° between 2003 and 2026, which the tests check row by row.
//
// It does not know horizons, shading, haze by the hour or snow on the ground.
//
// Sources: J. Meeus, Astronomical Algorithms, 2nd ed. 1998, ch. 12, 22, 25;
// Astronomical Formulae for Calculators, ch. 18;
// Haurwitz 1945; Ineichen & Perez 2002; Kasten & Young 1989; Spencer 1971; Erbs,
// Klein & Duffie 1982; Hay & Davies 1980; each named again beside its formula.
package sun
