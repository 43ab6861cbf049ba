//go:build !linux

package doctor

// isSynchronized is not known of other systems, which offer no such call.
func isSynchronized() (set, known bool) { return false, false }
