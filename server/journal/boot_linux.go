package journal

import (
	"time"

	"golang.org/x/sys/unix"
)

// sinceBoot goes on while the machine sleeps (CLOCK_BOOTTIME, clock_gettime(2)); Go's own monotonic clock stands still then.
func sinceBoot() (time.Duration, bool) {
	var ts unix.Timespec
	err := unix.ClockGettime(unix.CLOCK_BOOTTIME, &ts)
	return time.Duration(ts.Nano()), err == nil
}
