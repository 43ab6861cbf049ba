package testphone

import (
	"os"
	"testing"
)

// Folder is a temporary folder for a test's database, in memory where the machine has such a place: every commit waits
// for the disk, and tests commit thousands of times. What a real disk does is for the drills to find out.
func Folder(t testing.TB) string {
	t.Helper()
	const memory = "/dev/shm"
	dir, err := os.MkdirTemp(memory, "bedwalk-test-*")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}
