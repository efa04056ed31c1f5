// Package quantity holds the typed physical quantities that every other
// package speaks in, with parsing and printing in the grower's own units.
//
// Each type is a float64 in the SI unit (or the trade's own unit, such as
// litre or ampere-hour) that its name says. A temperature (Celsius) and a
// temperature difference (Kelvin) are different types, because 14 °F as a
// reading is -10 °C and 14 °F as a difference is 7.8 K. Values convert at the
// edges; inside, raw float64 arithmetic stays within formulas.
//
// Parsing demands a unit: "5 gal", "14 °F", "160 W". A space before the unit
// is welcome and not required. Numbers use a decimal point; NaN and infinity
// are refused, so neither can enter from a file or a message.
//
// Conversion factors are exact by definition (international foot and pound,
// US gallon of 231 cubic inches, 1959 and 1893 agreements; NIST SP 811
// appendix B) unless a line says otherwise.
package quantity
