package access

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bedwalk/server/db"
)

// RevokedFile lies beside the database and is in no backup: a restored backup does not know who was shut out after it
// was made, and must not let them in again.
const RevokedFile = "revoked.json"

// revocation is one device in the file.
type revocation struct {
	Device string `json:"device"`
	Name   string `json:"name"`
	At     int64  `json:"at"`
	By     string `json:"by"`
}

// HeedRevoked makes the database and the file beside it agree on who is shut out: whoever stands in either of them is.
// It is called before the server lets anybody in, and after each revocation.
func (g *Gate) HeedRevoked(ctx context.Context) error {
	g.revoking.Lock()
	defer g.revoking.Unlock()
	beside, _, err := readRevoked(g.db.Dir())
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
	// What is left in known stands in the database alone.
	for _, r := range inside {
		if known[r.Device] {
			beside = append(beside, r)
		}
	}
	return writeRevoked(g.db.Dir(), beside)
}

func (g *Gate) revoked(ctx context.Context) (all []revocation, err error) {
	err = g.db.Read(ctx, func(tx *sql.Tx) error {
		rows, err := tx.Query("select id, name, revoked_at, revoked_by from devices where revoked_at > 0 order by revoked_at, id")
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var r revocation
			if err := rows.Scan(&r.Device, &r.Name, &r.At, &r.By); err != nil {
				return err
			}
			all = append(all, r)
		}
		return rows.Err()
	})
	return all, err
}

// shutOutAgain revokes devices that a restored database has forgotten to be revoked. One that it does not know at all
// has no token either.
func (g *Gate) shutOutAgain(ctx context.Context, forgotten []revocation) error {
	if len(forgotten) == 0 {
		return nil
	}
	return g.db.Write(ctx, func(tx *sql.Tx) error {
		for _, r := range forgotten {
			if _, err := tx.Exec("update devices set revoked_at = ?, revoked_by = ? where id = ? and revoked_at = 0", r.At, r.By, r.Device); err != nil {
				return err
			}
		}
		return nil
	})
}

// StayRevoked names the devices that a backup would let in and that the file in a data folder keeps shut out. Listed is
// false where there is no such file, so that nobody can say who was revoked since.
func StayRevoked(ctx context.Context, backup *db.DB, dir string) (names []string, listed bool, err error) {
	beside, listed, err := readRevoked(dir)
	if err != nil || !listed {
		return nil, false, err
	}
	open := map[string]bool{}
	err = backup.Read(ctx, func(tx *sql.Tx) error {
		all, err := devices(tx, "where revoked_at = 0")
		for _, d := range all {
			open[d.ID] = true
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
		// To go on without it could let a lost phone in again, and nobody would be told.
		return nil, false, fmt.Errorf("%s cannot be read, so nobody knows who was revoked since the last backup: %w; "+
			"delete it, start the server and revoke again on the Phones page whoever is missing there", path, err)
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
