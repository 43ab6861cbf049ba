package journal

import (
	"time"

	"golang.org/x/sys/windows"
)

// sinceBoot goes on while the machine sleeps (GetTickCount64).
func sinceBoot() (time.Duration, bool) { return windows.DurationSinceBoot(), true }
