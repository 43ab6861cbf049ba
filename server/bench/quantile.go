package main

import (
	"slices"
	"time"
)

// quantile is the value in milliseconds below which a share of the times lies.
func quantile(times []time.Duration, share float64) float64 {
	sorted := slices.Sorted(slices.Values(times))
	return float64(sorted[int(share*float64(len(sorted)-1))].Microseconds()) / 1000
}
