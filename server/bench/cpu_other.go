//go:build !unix

package main

import "time"

// cpuTime is not available on this system.
func cpuTime() time.Duration { return 0 }
