package doctor

import "golang.org/x/sys/unix"

// isSynchronized asks the kernel whether a time service keeps its clock (adjtimex(2): STA_UNSYNC is set until one does).
func isSynchronized() (set, known bool) {
	var t unix.Timex
	if _, err := unix.Adjtimex(&t); err != nil {
		return false, false
	}
	return t.Status&unix.STA_UNSYNC == 0, true
}
