//go:build !linux && !windows

package journal

import "time"

// sinceBoot is not known here. Go's monotonic clock serves; after the machine has slept, phones or an owner confirm.
func sinceBoot() (time.Duration, bool) { return 0, false }
