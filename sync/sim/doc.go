// Package sim runs a nursery's phones and its server on a virtual clock and an in-memory network, from one seed, and
// breaks everything that can break: what is sent, when it arrives, what dies in between, what clocks say. Then it is
// quiet, and every note must be where it was promised to be, alike on every device.
//
// The server is handed in as a Host, so that the real store runs under it; the phone is a model of the app's journal
// (pwa/src/journal), rule for rule. The central type is Options, the one function Run. The checkers judge by a naive
// fold of their own, and are tested themselves by faults planted on purpose.
package sim
