//go:build unix

package doctor

import (
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// freeBytes is the room on a folder's disk that is there for an ordinary user.
func freeBytes(folder string) (int64, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(folder, &s); err != nil {
		return 0, &os.PathError{Op: "statfs", Path: folder, Err: err}
	}
	return int64(s.Bavail) * int64(s.Bsize), nil
}

func sameDisk(a, b string) (bool, error) {
	one, err := os.Stat(a)
	if err != nil {
		return false, err
	}
	other, err := os.Stat(b)
	if err != nil {
		return false, err
	}
	return one.Sys().(*syscall.Stat_t).Dev == other.Sys().(*syscall.Stat_t).Dev, nil
}
