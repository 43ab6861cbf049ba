// Package sim runs a nursery's phones and its server on a virtual clock and an in-memory network, from one seed, and
// breaks everything that can break: what is sent, when it arrives, what dies in between, what clocks show, who lies.
// Then all is quiet, and every note must be where it was promised to be, the same on every device.
//
// Neither the server nor the phones are modelled here: both are the real ones, passed in (Host and Apps), because they
// are what is tested, and because they do input and output. What is here, and why it is in Go: the world
// (clock, network, mishaps, people, a liar), which must be the same to the byte for the same seed, and the checkers,
// which look at both sides from outside, by a naive fold of their own and sums of their own, so that one
// misunderstanding cannot hide in both. The central type is Options, the one function Run.
package sim
