//go:build race

package simrun

// slow is true under the race detector, which makes SQLite in Go ten times slower.
const slow = true
