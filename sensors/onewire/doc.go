// Package onewire reads DS18B20 temperature probes (and the DS1822 and DS1825,
// which share its scale) through the Linux kernel's 1-Wire tree in sysfs.
//
// What the kernel does was read in its own documentation and source
// (Documentation/w1/slaves/w1_therm.rst,
// Documentation/ABI/testing/sysfs-driver-w1_therm and
// drivers/w1/slaves/w1_therm.c, mainline of 2020, commit 021da53e65fd):
//
//   - Writing "trigger" to a master's therm_bulk_read makes every probe on it
//     measure at once. The write itself sleeps for the whole conversion
//     (750 ms at 12 bit). A signal cuts that sleep short without an error, so
//     the time is checked here and the rest waited out.
//   - A read of w1_slave after that returns the measured scratchpad with its
//     checksum and starts no conversion of its own; so all probes cost one
//     conversion, and the evidence against false readings comes with it. That
//     is why the file "temperature", which has no scratchpad, is not used.
//   - While a bulk conversion runs, w1_slave reads empty: reads wait for it.
//   - Without a bulk trigger each read of w1_slave converts by itself. Unless
//     the probes need a strong pull-up the kernel lets go of the bus meanwhile,
//     so reads from several goroutines overlap.
//   - The kernel offers therm_bulk_read on one master only, that of the first
//     probe it found. Probes on other masters convert by themselves.
//   - A dead probe or a bad checksum gives an empty text and no error, after
//     up to four seconds. Older kernels show the bad bytes with "NO".
//   - therm_bulk_read belongs to root. A daemon under its own user needs a udev
//     rule; without one the reads still work, converting one by one.
//
// A round costs the conversion and one scratchpad after another, and nothing of
// ours. The kernel's own bits (drivers/w1/w1_io.c) last 70 µs, a reset 570 µs and a
// sleep of 1 ms: with address, command and nine bytes of answer, 152 bits, that is
// 12.2 ms a probe at least, and 19.2 ms where the kernel's clock ticks 250 times a
// second, because that sleep is then up to 8 ms. The datasheet's own shortest slots
// (61 µs, reset 960 µs) would make 10.2 ms. Ten probes at 12 bit therefore end at
// 1.17 to 1.26 of the 750 ms, and could not end before 1.14 on any line; five end
// within 1.10, and so do ten on two lines of five, whose masters work side by side. The kernel sleeps for "conv_time" and does not ask the probes, so
// therm_bulk_read says 1 no sooner. Writing 1 to a probe's conv_time, as root, makes
// the kernel measure that one and keep the time with a fifth added; the wait here
// follows it. A part of 600 ms then waits 720.
//
// Nothing can cancel a read inside the kernel. The sensors.Poller sees to it
// that such a read holds up nobody else.
//
// A scratchpad cannot prove everything. The copies of the DS18B20 on the market
// differ: some carry the power-on mark in every reading, some start from 25 °C
// instead of 85 °C (C. Petrich, "Your DS18B20 temperature sensor is likely a
// fake", github.com/cpetrich/counterfeit_DS18B20, 2019). The sensors.Judge
// therefore also weighs what a probe read before.
package onewire
