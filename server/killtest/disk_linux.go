package killtest

import (
	"errors"
	"fmt"
	"syscall"
)

// mountSmall mounts a small disk in memory on a folder.
func mountSmall(folder string, megabytes int) (unmount func() error, err error) {
	err = syscall.Mount("tmpfs", folder, "tmpfs", 0, fmt.Sprintf("size=%dm", megabytes))
	if errors.Is(err, syscall.EPERM) || errors.Is(err, syscall.EACCES) {
		return nil, fmt.Errorf("%w: %w", ErrNoDisk, err)
	}
	return func() error { return syscall.Unmount(folder, syscall.MNT_DETACH) }, err
}
