package db

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"
)

// LockFile is locked by whoever may write to a data folder; HolderFile beside it says who that is. They are two,
// because Windows lets nobody read a file that is locked.
const (
	LockFile   = "lock"
	HolderFile = "lock.json"
)

// ErrHeld says that another program has the data folder; errors.As with *HeldError says which.
var ErrHeld = errors.New("the data folder is in use")

// Holder is who has a data folder: its process, its command, since when, and of a server the address at which people reach it.
type Holder struct {
	PID     int       `json:"pid"`
	Command string    `json:"command"`
	Since   time.Time `json:"since"`
	Address string    `json:"address,omitempty"`
}

// HeldError names the holder of a folder. PID is 0 where the holder did not live to write down who it is.
type HeldError struct {
	Dir string
	Holder
}

func (e *HeldError) Error() string {
	who := "another Bedwalk program"
	if e.PID > 0 {
		who = fmt.Sprintf("bedwalk %s (process %d, since %s)", e.Command, e.PID, e.Since.Local().Format("2006-01-02 15:04:05"))
	}
	return fmt.Sprintf("%s is in use by %s; stop that first (Ctrl-C where it runs, or through its service), or choose another folder with --data", e.Dir, who)
}

func (e *HeldError) Unwrap() error { return ErrHeld }

// Hold is the right to write into a data folder, held by one program at a time. The operating system takes it back when
// the program ends, however it ends.
type Hold struct {
	lock *flock.Flock
	file pinned
	as   Holder
}

// HoldDir takes a data folder for a command, or returns a *HeldError at once. The folder must exist.
func HoldDir(dir, command string) (*Hold, error) {
	path := filepath.Join(dir, LockFile)
	lock := flock.New(path, flock.SetPermissions(0o640))
	locked, err := lock.TryLock()
	if err != nil {
		return nil, errors.Join(fmt.Errorf("lock the data folder: %w; see that %s belongs to this user and lies on a disk of this machine, not on a network drive", err, dir), lock.Close())
	}
	if !locked {
		return nil, errors.Join(&HeldError{dir, holderOf(dir)}, lock.Close())
	}
	h := &Hold{lock: lock, as: Holder{PID: os.Getpid(), Command: command, Since: time.Now()}}
	if h.file, err = pin(path); err == nil {
		err = h.write()
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("lock the data folder: %w", err), lock.Close())
	}
	return h, nil
}

// ServesAt writes down the address at which people reach the server that holds the folder, for commands beside it (AddressOf).
func (h *Hold) ServesAt(address string) error {
	h.as.Address = address
	if err := h.write(); err != nil {
		return fmt.Errorf("write down the server's address: %w", err)
	}
	return nil
}

// AddressOf is the address of the server that holds a data folder, "" where none says it.
func AddressOf(dir string) string { return holderOf(dir).Address }

func (h *Hold) write() error {
	words, err := json.Marshal(h.as)
	if err != nil {
		return err
	}
	return WriteFile(filepath.Join(filepath.Dir(h.file.path), HolderFile), append(words, '\n'))
}

// Release lets the folder go. The lock file stays: to delete it would let two programs lock two files of one name.
func (h *Hold) Release() error {
	if h == nil {
		return nil
	}
	return errors.Join(os.Remove(filepath.Join(filepath.Dir(h.file.path), HolderFile)), h.lock.Close())
}

func holderOf(dir string) (h Holder) {
	raw, err := os.ReadFile(filepath.Join(dir, HolderFile))
	if err != nil || json.Unmarshal(raw, &h) != nil {
		return Holder{}
	}
	return h
}
