//go:build unix

package testpg

import (
	"os"
	"strconv"
	"syscall"

	"golang.org/x/sys/unix"
)

type processAttributes = syscall.SysProcAttr

// ordinary is how a program is started as somebody who is not root, nil where that is so already. The folder becomes theirs.
func ordinary(folder string) (*processAttributes, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	one, err := lookUp(nobody)
	if err != nil {
		return nil, err
	}
	uid, err := strconv.Atoi(one.Uid)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.Atoi(one.Gid)
	if err != nil {
		return nil, err
	}
	return &processAttributes{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}, os.Chown(folder, uid, gid)
}

// inMemory is a place for what lives as long as the process, "" where the machine has none with room: every commit waits for the disk.
func inMemory() string {
	const memory, room = "/dev/shm", 1 << 30
	var s unix.Statfs_t
	if unix.Statfs(memory, &s) != nil || int64(s.Bavail)*int64(s.Bsize) < room {
		return ""
	}
	return memory
}
