// Package ads1115 measures voltages with an ADS1115 on an I²C bus that it is handed,
// each behind a divider of two resistors: that of the battery, and where it is wired
// that of the panel.
//
// It measures no current: the battery's charge is then judged by voltage alone, with
// the wide band that it deserves.
//
// The converter is driven by periph's ads1x15. That driver waits for the nominal time
// of a conversion and then takes whatever the result register holds; the part's clock
// may be 10 % slower (TI, SBAS444D, "Electrical Characteristics"), and then it holds
// the result of the last conversion, perhaps of another input. So the result is held
// back here until the part itself says that it has converted.
//
// A divider of 1 % resistors may be wrong by 2 %, a quarter of a volt on 12 V. Measure
// once with a good meter and put the ratio found into the greenhouse file.
package ads1115
