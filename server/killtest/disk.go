package killtest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"

	"golang.org/x/sync/errgroup"

	"bedwalk/schema"
	"bedwalk/server/realrun"
)

// ErrNoDisk says that a small disk could not be made; only root on Linux can.
var ErrNoDisk = errors.New("a small disk needs Linux and root (a tmpfs is mounted)")

// Filled are the figures of a full-disk drill.
type Filled struct {
	DiskMB int
	// Acked is the number of notes acknowledged when the disk was full; Refused, of pushes answered with 507.
	Acked, Refused int
	// Read is the number of notes pulled while the disk was full.
	Read int
	// Later is the number of notes accepted once there was room again.
	Later int
}

// The size of the disk, and of a file that fills part of it and is then removed. SQLite's log alone needs some megabytes.
const (
	diskMB    = 24
	ballastMB = 10
)

// FillDisk pushes to a small disk until it is full, checks everything, makes room and continues. Folder must be empty.
func FillDisk(ctx context.Context, binary, folder string, seed uint64) (f Filled, err error) {
	f.DiskMB = diskMB
	disk := filepath.Join(folder, "disk")
	if err := os.MkdirAll(disk, 0o750); err != nil {
		return f, err
	}
	unmount, err := mountSmall(disk, diskMB)
	if err != nil {
		return f, err
	}
	defer func() { err = errors.Join(err, unmount()) }()
	ballast := filepath.Join(disk, "ballast")
	if err := os.WriteFile(ballast, make([]byte, ballastMB<<20), 0o640); err != nil {
		return f, err
	}
	program := &realrun.Program{Binary: binary, Data: filepath.Join(disk, "data")}
	defer func() { err = errors.Join(err, program.Kill()) }()
	if err := program.Start(ctx); err != nil {
		return f, err
	}
	owner, scouts, err := program.Phones(ctx, 2)
	if err != nil {
		return f, err
	}
	owner.Plant(beds)
	if err := drain(ctx, owner); err != nil {
		return f, err
	}
	all := append(scouts, owner)
	if err := f.fill(ctx, owner, scouts, seed); err != nil {
		return f, err
	}
	if err := f.whileFull(ctx, program, filepath.Join(folder, "copy"), all); err != nil {
		return f, fmt.Errorf("while the disk is full: %w", err)
	}
	if err := os.Remove(ballast); err != nil {
		return f, err
	}
	for _, phone := range all {
		if err := drain(ctx, phone); err != nil {
			return f, fmt.Errorf("when there is room again: %w", err)
		}
		f.Later += phone.Acked
	}
	f.Later -= f.Acked
	if err := program.Stop(); err != nil {
		return f, err
	}
	return f, checkCopy(ctx, program, filepath.Join(folder, "copy"), all, exactlyAcked)
}

// fill pushes until every scout's push is refused because the disk is full.
func (f *Filled) fill(ctx context.Context, owner *realrun.Phone, scouts []*realrun.Phone, seed uint64) error {
	f.Acked = owner.Acked
	for i, phone := range scouts {
		chance := rand.New(rand.NewPCG(seed, uint64(i)))
		for full := false; !full; {
			// More notes than the disk has bytes for, and still not full: then it is not a small disk.
			if len(phone.Raw) > diskMB<<20/400 {
				return fmt.Errorf("%d notes went onto a disk of %d MB, and it is not full", len(phone.Raw), diskMB)
			}
			if phone.Acked == len(phone.Raw) {
				phone.Observe(chance, owner.Device, beds, 200)
			}
			var err error
			if full, err = refusedAsFull(phone.Push(ctx, phone.Acked+1, len(phone.Raw))); err != nil {
				return err
			}
		}
		f.Refused++
		f.Acked += phone.Acked
	}
	return nil
}

// refusedAsFull is true for the answer that a full disk must give, with a text that a person can act on.
func refusedAsFull(err error) (bool, error) {
	var refused *realrun.Refused
	if !errors.As(err, &refused) {
		return false, err
	}
	if refused.Status != http.StatusInsufficientStorage || refused.Code != "server_full" || refused.Detail == "" {
		return false, err
	}
	return true, nil
}

func (f *Filled) whileFull(ctx context.Context, program *realrun.Program, folder string, all []*realrun.Phone) error {
	for _, phone := range all[:len(all)-1] {
		full, err := refusedAsFull(phone.Push(ctx, phone.Acked+1, len(phone.Raw)))
		if !full {
			return fmt.Errorf("a second push was not refused: %w", err)
		}
		f.Refused++
	}
	if err := pulledOnce(ctx, all); err != nil {
		return err
	}
	f.Read = f.Acked
	if err := readAtOnce(ctx, all[len(all)-1]); err != nil {
		return fmt.Errorf("the supervisor's pages cannot read: %w; the server's log ends with\n%s", err, program.Log())
	}
	return checkCopy(ctx, program, folder, all, exactlyAcked)
}

// readAtOnce asks for more pages at once than the server keeps connections for reading, so that some are opened now.
func readAtOnce(ctx context.Context, owner *realrun.Phone) error {
	var group errgroup.Group
	for range 12 {
		group.Go(func() error {
			var view schema.BedsView
			return owner.Ask(ctx, http.MethodGet, "/api/views/beds", nil, &view)
		})
		group.Go(func() error {
			_, err := owner.Pull(ctx, 0)
			return err
		})
	}
	return group.Wait()
}
