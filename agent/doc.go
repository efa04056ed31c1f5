// Package agent is the daemon: one loop, and the wiring around it.
//
//	probes, meter ─▶ Sight.Look ─▶ judge ─▶ control.Step ─▶ Hands.Apply ─▶ pump, fans, contactor, buzzer
//	                                  ▲           │
//	                    state kept here └─────────┤
//	                                              ▼
//	                          record ─▶ mqtt, export (readers that may be behind)
//
// One goroutine decides. Probes, disk and broker have their own goroutines and
// the loop takes their latest with its age, so nothing that waits makes a tick
// late. Commands come in through a channel and are answered by the loop between
// two ticks.
//
// The loop drives a real and a simulated greenhouse alike: a Sight, a pair of
// Hands and a Clock are all it knows of either.
package agent
