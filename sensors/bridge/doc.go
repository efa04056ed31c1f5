// Package bridge reads DS18B20 temperature probes through a DS2482 or DS2484, a chip
// that drives a 1-Wire line from an I²C bus. It is handed the bus and never opens one.
//
// All probes on the line measure at once; then each is addressed and its scratchpad
// read. Externally powered probes hold the line low in read slots until they have
// measured (DS18B20 datasheet, "Convert T"), so the end is asked for every few
// milliseconds. Probes that take their power from the line need it held high all
// that time instead, which is waited out.
//
// The bridge is driven by periph's ds248x; the scratchpad is judged here, by the
// evidence in it, and not by periph's ds18b20: that one lets the power-on value of
// 85 °C pass as a measurement (it compares with 85 K).
//
// Probes are named as the kernel names them, 28-0000a17c4e01: family, then the serial
// number.
package bridge
