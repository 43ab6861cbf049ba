package access

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"bedwalk/server/db"
)

// RevokedFile is beside the database and in no backup: a restored backup does not know who was revoked after it
// was made, and must not let them in again.
const RevokedFile = "revoked.json"

// revocation is one device in the file, or one reading key by its id, which no device has.
type revocation struct {
	Device string `json:"device"`
	Name   string `json:"name"`
	At     int64  `json:"at"`
	By     string `json:"by"`
}

// Revoke shuts a device out from now on, in the name of the person who does it. An owner's device is for owners alone to revoke,
// and never the last of them: a supervisor's phone in the wrong hands must not lock the owner out of the nursery. The
// errors are ErrNoDevice, ErrOwners and ErrLastOwner.
func (g *Gate) Revoke(ctx context.Context, device string, by Device) error {
	err := g.store.Write(ctx, func(tx Tx) error {
		one, found, err := tx.Device(device)
		switch {
		case err != nil:
			return err
		case !found:
			return ErrNoDevice
		case one.RevokedAt > 0:
			return nil
		}
		if one.Role == Owner {
			if err := mayRevokeOwner(tx, device, by); err != nil {
				return err
			}
		}
		return tx.Revoke(device, g.now().UnixMilli(), by.Person)
	})
	g.Forget()
	if err != nil {
		return err
	}
	if err := g.HeedRevoked(ctx); err != nil {
		return fmt.Errorf("the phone is shut out, but a restored backup would let it in again: %w; free some space and revoke it once more", err)
	}
	return nil
}

// mayRevokeOwner asks the store, not what by was when its request began: of two owners who revoke each other at the
// same moment, the second is no longer an owner.
func mayRevokeOwner(snap Snap, device string, by Device) error {
	owners, err := snap.Devices()
	owners = slices.DeleteFunc(owners, func(d Device) bool { return d.Role != Owner || d.RevokedAt > 0 || d.ID == device })
	switch {
	case err != nil:
		return err
	case by.Role != Owner:
		return ErrOwners
	case len(owners) == 0:
		return ErrLastOwner
	case !slices.ContainsFunc(owners, func(d Device) bool { return d.ID == by.ID }):
		return ErrOwners
	}
	return nil
}

// OfOwner is true for a person who has, or had, a device as an owner.
func (g *Gate) OfOwner(ctx context.Context, person string) (is bool, err error) {
	all, err := g.Devices(ctx)
	return slices.ContainsFunc(all, func(d Device) bool { return d.Person == person && d.Role == Owner }), err
}

// HeedRevoked makes the store and the file beside it agree on who is shut out: whoever is in either of them is.
// It is called before the server lets anybody in, and after each revocation.
func (g *Gate) HeedRevoked(ctx context.Context) error {
	g.revoking.Lock()
	defer g.revoking.Unlock()
	beside, _, err := readRevoked(g.dir)
	if err != nil {
		return err
	}
	inside, err := g.revoked(ctx)
	if err != nil {
		return err
	}
	known := map[string]bool{}
	for _, r := range inside {
		known[r.Device] = true
	}
	var forgotten []revocation
	for _, r := range beside {
		if !known[r.Device] {
			forgotten = append(forgotten, r)
		}
		delete(known, r.Device)
	}
	if err := g.shutOutAgain(ctx, forgotten); err != nil {
		return err
	}
	if len(known) == 0 {
		return nil
	}
	// What is left in known is in the database alone.
	for _, r := range inside {
		if known[r.Device] {
			beside = append(beside, r)
		}
	}
	return writeRevoked(g.dir, beside)
}

// revoked are those that the store knows as revoked, in the order in which they were.
func (g *Gate) revoked(ctx context.Context) (all []revocation, err error) {
	err = g.store.Read(ctx, func(snap Snap) error {
		all, err = everyone(snap)
		return err
	})
	all = slices.DeleteFunc(all, func(r revocation) bool { return r.At == 0 })
	slices.SortFunc(all, func(a, b revocation) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Device, b.Device)) })
	return all, err
}

// shutOutAgain revokes the devices and reading keys of which a restored store does not know that they were revoked. One that it does
// not know at all has no token in it either.
func (g *Gate) shutOutAgain(ctx context.Context, forgotten []revocation) error {
	if len(forgotten) == 0 {
		return nil
	}
	return g.store.Write(ctx, func(tx Tx) error {
		for _, r := range forgotten {
			if err := errors.Join(tx.Revoke(r.Device, r.At, r.By), tx.RevokeKey(r.Device, r.At, r.By)); err != nil {
				return err
			}
		}
		return nil
	})
}

// everyone are the devices and reading keys of a store, with the time at which each was revoked, 0 while it may come in.
func everyone(snap Snap) (all []revocation, err error) {
	devices, err := snap.Devices()
	if err != nil {
		return nil, err
	}
	for _, d := range devices {
		all = append(all, revocation{d.ID, d.Name, d.RevokedAt, d.RevokedBy})
	}
	readers, err := snap.Readers()
	for _, r := range readers {
		all = append(all, revocation{r.ID, r.Name, r.RevokedAt, r.RevokedBy})
	}
	return all, err
}

// StayRevoked names the devices and reading keys that a backup would let in and that the file in a data folder keeps shut out. Listed is
// false where there is no such file, so that nobody knows who was revoked since.
func StayRevoked(ctx context.Context, backup Store, dir string) (names []string, listed bool, err error) {
	beside, listed, err := readRevoked(dir)
	if err != nil || !listed {
		return nil, false, err
	}
	open := map[string]bool{}
	err = backup.Read(ctx, func(snap Snap) error {
		all, err := everyone(snap)
		for _, one := range all {
			open[one.Device] = one.At == 0
		}
		return err
	})
	for _, r := range beside {
		if open[r.Device] {
			names = append(names, r.Name)
		}
	}
	return names, true, err
}

// Differences compares the list of revoked devices in a folder with the store beside it, and says what each difference means and what
// to do. It reads only. The error is that of a list that cannot be read, which keeps the server from starting.
func Differences(ctx context.Context, store Store, dir string) (all []string, err error) {
	beside, listed, err := readRevoked(dir)
	if err != nil {
		return nil, err
	}
	out := map[string]bool{}
	for _, r := range beside {
		out[r.Device] = true
	}
	err = store.Read(ctx, func(snap Snap) error {
		known, err := everyone(snap)
		for _, one := range known {
			switch {
			case one.At == 0 && out[one.Device]:
				all = append(all, fmt.Sprintf("%s is revoked in %s but not in the database, as after a restored backup. "+
					"The next start of the server shuts it out again; to let it in, pair it again on the Phones page; for a program, make a new reading key", one.Name, RevokedFile))
			case one.At > 0 && !out[one.Device] && listed:
				all = append(all, fmt.Sprintf("%s is revoked in the database but is not in %s. The next start of the server adds it", one.Name, RevokedFile))
			case one.At > 0 && !listed:
				all = append(all, fmt.Sprintf("%s is revoked in the database, but %s is missing. The next start of the server writes it; "+
					"if a backup was restored, devices revoked after it can come in again: check the Phones page", one.Name, RevokedFile))
			}
		}
		return err
	})
	return all, err
}

func readRevoked(dir string) (all []revocation, listed bool, err error) {
	path := filepath.Join(dir, RevokedFile)
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, fmt.Errorf("read who was revoked: %w", err)
	}
	if err := json.Unmarshal(raw, &all); err != nil {
		// To continue without it could let a lost phone in again, and nobody would know.
		return nil, false, fmt.Errorf("%s cannot be read, so nobody knows who was revoked since the last backup: %w; "+
			"delete it, start the server, and on the Phones page revoke again every device that should be shut out", path, err)
	}
	return all, true, nil
}

func writeRevoked(dir string, all []revocation) error {
	raw, err := json.MarshalIndent(all, "", "  ")
	if err != nil {
		return err
	}
	return db.WriteFile(filepath.Join(dir, RevokedFile), append(raw, '\n'))
}
