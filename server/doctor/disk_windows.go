package doctor

import (
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/sys/windows"
)

// freeBytes is the room on a folder's disk that is there for this user.
func freeBytes(folder string) (int64, error) {
	path, err := windows.UTF16PtrFromString(folder)
	if err != nil {
		return 0, err
	}
	var free uint64
	if err := windows.GetDiskFreeSpaceEx(path, &free, nil, nil); err != nil {
		return 0, &os.PathError{Op: "GetDiskFreeSpaceEx", Path: folder, Err: err}
	}
	return int64(free), nil
}

func sameDisk(a, b string) (bool, error) {
	one, err := filepath.Abs(a)
	if err != nil {
		return false, err
	}
	other, err := filepath.Abs(b)
	if err != nil {
		return false, err
	}
	return strings.EqualFold(filepath.VolumeName(one), filepath.VolumeName(other)), nil
}
