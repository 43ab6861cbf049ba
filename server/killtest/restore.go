package killtest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"path/filepath"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/realrun"
	"bedwalk/server/testphone"
)

// Restored are the figures of a drill in which the disk is lost and the last backup is restored.
type Restored struct {
	// Before is the number of notes acknowledged when the backup was made, After of those since.
	Before, After int
	// Missing is what the restored server lacked, Lost what it still lacked when the phones had sent again: the
	// recovery point objective for notes still on a phone.
	Missing, Lost int
	// Equal is the number of phones whose digest matches the server's.
	Equal int
}

// Restore backs up while phones push, lets them push more, restores the backup, and lets the phones send what it lacks.
func Restore(ctx context.Context, binary, folder string, seed uint64) (r Restored, err error) {
	program := &realrun.Program{Binary: binary, Data: filepath.Join(folder, "data")}
	defer func() { err = errors.Join(err, program.Kill()) }()
	if err := program.Start(ctx); err != nil {
		return r, err
	}
	owner, scouts, err := program.Phones(ctx, 3)
	if err != nil {
		return r, err
	}
	owner.Plant(beds)
	all := append(scouts, owner)
	if r.Before, err = observeAll(ctx, all, owner.Device, seed, 300); err != nil {
		return r, err
	}
	said, err := program.Run(ctx, "backup", "--to", filepath.Join(folder, "backups"))
	if err != nil {
		return r, err
	}
	backup, _, _ := strings.Cut(said, ": ")
	acked, err := observeAll(ctx, all, owner.Device, seed+1, 400)
	if err != nil {
		return r, err
	}
	r.After = acked - r.Before
	if err := program.Kill(); err != nil {
		return r, err
	}
	if _, err := program.Run(ctx, "restore", "--from", backup); err != nil {
		return r, err
	}
	if err := program.Start(ctx); err != nil {
		return r, err
	}
	for _, phone := range all {
		missing, err := rewind(ctx, phone)
		if err != nil {
			return r, err
		}
		r.Missing += missing
	}
	for _, phone := range all {
		if err := drain(ctx, phone); err != nil {
			return r, err
		}
	}
	return r, r.judge(ctx, program, filepath.Join(folder, "copy"), all, acked)
}

// observeAll lets every phone note and push, and counts what is acknowledged in all.
func observeAll(ctx context.Context, all []*realrun.Phone, planter string, seed uint64, notes int) (acked int, err error) {
	// The planter is last in the list and must come first: what is noted on a bed that nobody knows yet would be quarantined.
	for i := range all {
		phone := all[len(all)-1-i]
		if err := drain(ctx, phone); err != nil {
			return 0, err
		}
		phone.Observe(rand.New(rand.NewPCG(seed, uint64(i))), planter, beds, notes)
		if err := drain(ctx, phone); err != nil {
			return 0, err
		}
		acked += phone.Acked
	}
	return acked, nil
}

// rewind is what a phone does when the server was set back: its first request in the old epoch says so; it asks how
// far the server has its notes, and continues from there.
func rewind(ctx context.Context, phone *realrun.Phone) (missing int, err error) {
	_, err = phone.Pull(ctx, phone.Given[len(phone.Given)-1].Position)
	var refused *realrun.Refused
	if !errors.As(err, &refused) || refused.Code != "rewind" || refused.ForkedAt == nil {
		return 0, fmt.Errorf("a cursor from before the restore was answered with %w, and not with where to continue", err)
	}
	if err := phone.Refresh(ctx); err != nil {
		return 0, err
	}
	phone.Epoch = phone.Me.Epoch
	missing, phone.Acked = phone.Acked-int(phone.Me.High), int(phone.Me.High)
	return missing, nil
}

func (r *Restored) judge(ctx context.Context, program *realrun.Program, folder string, all []*realrun.Phone, acked int) error {
	items, err := all[0].PullAll(ctx)
	if err != nil {
		return err
	}
	there := map[string]bool{}
	for _, item := range items {
		there[string(item.Entry)] = true
	}
	for _, phone := range all {
		for _, raw := range phone.Raw {
			if !there[string(raw)] {
				r.Lost++
			}
		}
		digest, err := testphone.Digest(phone.Device, phone.Epoch, items)
		if err != nil {
			return err
		}
		told, err := json.Marshal(digest)
		if err != nil {
			return err
		}
		var answer schema.DigestAnswer
		if err := phone.Ask(ctx, http.MethodPost, "/api/digest", told, &answer); err != nil {
			return err
		}
		if answer.Equal {
			r.Equal++
		}
	}
	if r.Lost > 0 {
		return fmt.Errorf("%d of %d acknowledged notes are lost, though their phones hold them", r.Lost, acked)
	}
	if r.Equal != len(all) {
		return fmt.Errorf("%d of %d phones match the restored server", r.Equal, len(all))
	}
	if err := program.Stop(); err != nil {
		return err
	}
	return checkCopy(ctx, program, folder, all, exactlyAcked)
}
