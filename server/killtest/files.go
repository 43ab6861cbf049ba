package killtest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"bedwalk/server/db"
	"bedwalk/server/realrun"
)

// Harm is what somebody does to the data of a running server.
type Harm string

// The harms of a drill. Each is done while phones push.
const (
	Delete     Harm = "database deleted"
	DeleteAll  Harm = "database and its log deleted"
	DeleteLog  Harm = "log of the database deleted"
	Replace    Harm = "older copy moved over the database"
	MoveFolder Harm = "data folder moved away"
)

// Harms lists them all.
var Harms = []Harm{Delete, DeleteAll, DeleteLog, Replace, MoveFolder}

// Harmed are the figures of a drill in which the data is harmed while phones push.
type Harmed struct {
	// Acked is the number of notes acknowledged before and after; Refused, of pushes answered with 503.
	Acked, Refused int
	// Rescued is the number of notes in the copy that the server saved of what it had open.
	Rescued int64
	// Served is the number of the phones' notes there when the server ran again, every acknowledged one among them.
	Served int
}

// HarmFiles lets phones push, harms the data under the server, checks that every later push is refused, restores what
// the server saved, and checks that every acknowledged note is served.
func HarmFiles(ctx context.Context, binary, folder string, harm Harm, seed uint64) (h Harmed, err error) {
	program := &realrun.Program{Binary: binary, Data: filepath.Join(folder, "data")}
	defer func() { err = errors.Join(err, program.Kill()) }()
	if err := program.Start(ctx); err != nil {
		return h, err
	}
	owner, scouts, err := program.Phones(ctx, 3)
	if err != nil {
		return h, err
	}
	owner.Plant(beds)
	all := append(scouts, owner)
	if _, err := observeAll(ctx, all, owner.Device, seed, 200); err != nil {
		return h, err
	}
	older, err := backupOf(ctx, program, filepath.Join(folder, "backups"))
	if err != nil {
		return h, err
	}
	if h.Refused, err = pushUntilRefused(ctx, scouts, owner.Device, seed, func() error { return harm.do(program.Data, older) }); err != nil {
		return h, err
	}
	for _, phone := range all {
		// Later requests are refused too, writes and reads.
		if err := phone.Push(ctx, 1, 1); !refusedAsGone(err) {
			return h, fmt.Errorf("%s was answered after the files were gone: %w", phone.Device, err)
		}
		if _, err := phone.Pull(ctx, 0); !refusedAsGone(err) {
			return h, fmt.Errorf("%s could read after the files were gone: %w", phone.Device, err)
		}
		h.Acked += phone.Acked
	}
	saved, err := program.Saved(ctx)
	if err != nil {
		return h, err
	}
	if err := program.Stop(); err != nil {
		return h, err
	}
	if harm != Replace && harm != DeleteLog {
		// The nursery does not begin empty unless somebody asks for that.
		if err := program.Start(ctx); err == nil || !strings.Contains(program.Log(), "are gone") {
			return h, fmt.Errorf("a server started where the notes were gone: %w", errors.Join(err, program.Kill()))
		}
	}
	if err := harm.repair(ctx, program, saved); err != nil {
		return h, err
	}
	if err := program.Start(ctx); err != nil {
		return h, err
	}
	if err := pulledOnce(ctx, all); err != nil {
		return h, err
	}
	for _, phone := range all {
		if err := phone.Refresh(ctx); err != nil {
			return h, err
		}
		h.Rescued += phone.Me.High
		if err := drain(ctx, phone); err != nil {
			return h, err
		}
		h.Served += phone.Acked
	}
	if err := program.Stop(); err != nil {
		return h, err
	}
	return h, checkCopy(ctx, program, filepath.Join(folder, "copy"), all, exactlyAcked)
}

func (h Harm) do(data, older string) error {
	path := filepath.Join(data, db.File)
	switch h {
	case Delete:
		return os.Remove(path)
	case DeleteAll:
		return errors.Join(os.Remove(path), os.Remove(path+"-wal"), os.Remove(path+"-shm"))
	case DeleteLog:
		return os.Remove(path + "-wal")
	case Replace:
		raw, err := os.ReadFile(older)
		if err != nil {
			return err
		}
		if err := os.WriteFile(path+".new", raw, 0o640); err != nil {
			return err
		}
		return os.Rename(path+".new", path)
	case MoveFolder:
		return os.Rename(data, data+"-moved")
	}
	return fmt.Errorf("%q is no harm", h)
}

// repair does what the server's log tells people to do, or, where the folder itself was moved, puts it back.
func (h Harm) repair(ctx context.Context, program *realrun.Program, saved string) error {
	if h == MoveFolder {
		return errors.Join(os.RemoveAll(program.Data), os.Rename(program.Data+"-moved", program.Data))
	}
	_, err := program.Run(ctx, "restore", "--from", saved)
	return err
}

// pushUntilRefused lets all phones push at once, does the harm meanwhile, and returns when each of them was refused.
func pushUntilRefused(ctx context.Context, phones []*realrun.Phone, planter string, seed uint64, harm func() error) (refused int, err error) {
	var wait sync.WaitGroup
	begun, faults := make(chan struct{}), make([]error, len(phones))
	for i, phone := range phones {
		chance := rand.New(rand.NewPCG(seed, uint64(100+i)))
		wait.Go(func() {
			for n := 0; ; n++ {
				// The files are gone long before so many pushes.
				if n > 2000 {
					faults[i] = fmt.Errorf("%s was never refused", phone.Device)
					return
				}
				if phone.Acked == len(phone.Raw) {
					phone.Observe(chance, planter, beds, 5)
				}
				err := phone.Push(ctx, phone.Acked+1, len(phone.Raw))
				if n == 3 {
					begun <- struct{}{}
				}
				if err == nil {
					continue
				}
				if !refusedAsGone(err) {
					faults[i] = err
				}
				return
			}
		})
	}
	// Each has pushed some, and continues.
	for range phones {
		<-begun
	}
	err = harm()
	wait.Wait()
	return len(phones), errors.Join(append(faults, err)...)
}

// refusedAsGone is true for the answer that a server whose files are gone must give.
func refusedAsGone(err error) bool {
	var refused *realrun.Refused
	return errors.As(err, &refused) && refused.Status == 503 && refused.Code == "data_gone" && refused.Remedy != ""
}

func backupOf(ctx context.Context, program *realrun.Program, folder string) (string, error) {
	said, err := program.Run(ctx, "backup", "--to", folder)
	path, _, _ := strings.Cut(said, ": ")
	return path, err
}

// Two are the figures of a drill in which other programs open the folder of a running server.
type Two struct {
	// Acked is the number of notes acknowledged by the one server, Served of those found when it ran again; Refused, of
	// programs turned away (a second server, a restore); Paired, of those that may work beside it.
	Acked, Served, Refused, Paired int
}

// TwoServers starts a second server and a restore beside a running one while phones push, and pairs as well.
func TwoServers(ctx context.Context, binary, folder string, seed uint64) (t Two, err error) {
	program := &realrun.Program{Binary: binary, Data: filepath.Join(folder, "data")}
	defer func() { err = errors.Join(err, program.Kill()) }()
	if err := program.Start(ctx); err != nil {
		return t, err
	}
	owner, scouts, err := program.Phones(ctx, 2)
	if err != nil {
		return t, err
	}
	owner.Plant(beds)
	all := append(scouts, owner)
	if _, err := observeAll(ctx, all, owner.Device, seed, 100); err != nil {
		return t, err
	}
	older, err := backupOf(ctx, program, filepath.Join(folder, "backups"))
	if err != nil {
		return t, err
	}
	epoch := owner.Me.Epoch
	others := func() error {
		second := &realrun.Program{Binary: binary, Data: program.Data}
		if err := second.Start(ctx); err == nil || !strings.Contains(second.Log(), "in use by bedwalk serve (process ") {
			return fmt.Errorf("a second server on one folder was not refused: %w", errors.Join(err, second.Kill()))
		}
		t.Refused++
		if said, err := program.Run(ctx, "restore", "--from", older); err == nil || !strings.Contains(said, "nothing was restored") {
			return fmt.Errorf("a restore beside a running server was not refused: %s", said)
		}
		t.Refused++
		for range 3 {
			if _, err := program.Run(ctx, "pair", "--role", "scout", "--person", "Another"); err != nil {
				return err
			}
			t.Paired++
		}
		return nil
	}
	done := make(chan error, 1)
	go func() { done <- others() }()
	for round, busy := uint64(1), true; busy; round++ {
		select {
		case err = <-done:
			busy = false
		default:
		}
		if _, failed := observeAll(ctx, all, owner.Device, seed+round, 10); failed != nil {
			return t, errors.Join(err, failed)
		}
	}
	if err != nil {
		return t, err
	}
	if err := program.Kill(); err != nil {
		return t, err
	}
	if err := program.Start(ctx); err != nil {
		return t, err
	}
	if err := pulledOnce(ctx, all); err != nil {
		return t, err
	}
	for _, phone := range all {
		if err := phone.Refresh(ctx); err != nil {
			return t, err
		}
		if phone.Me.Epoch != epoch {
			return t, fmt.Errorf("a program beside the server began another epoch")
		}
		t.Acked += phone.Acked
		t.Served += int(phone.Me.High)
	}
	if err := program.Stop(); err != nil {
		return t, err
	}
	return t, checkCopy(ctx, program, filepath.Join(folder, "copy"), all, exactlyAcked)
}
