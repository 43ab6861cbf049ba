package lite

import (
	"context"
	"database/sql"
	"encoding/json"

	"bedwalk/server/access"
	"bedwalk/server/db"
)

// Access keeps devices and invitations in the file.
func Access(d *db.DB) access.Store { return gate{d} }

type gate struct{ db *db.DB }

// Write is access.Store's.
func (g gate) Write(ctx context.Context, f func(access.Tx) error) error {
	return g.db.Write(ctx, func(tx *sql.Tx) error { return f(gateTx{tx}) })
}

// Read is access.Store's.
func (g gate) Read(ctx context.Context, f func(access.Snap) error) error {
	return g.db.Read(ctx, func(tx *sql.Tx) error { return f(gateTx{tx}) })
}

type gateTx struct{ tx *sql.Tx }

// Device is access.Snap's.
func (g gateTx) Device(id string) (access.Device, bool, error) {
	return first(g.devices("where id = ?", id))
}

// Holder is access.Snap's.
func (g gateTx) Holder(token [32]byte) (access.Device, bool, error) {
	return first(g.devices("where token = ?", token[:]))
}

// Devices is access.Snap's.
func (g gateTx) Devices() ([]access.Device, error) {
	return g.devices("order by paired_at desc, id")
}

func (g gateTx) devices(which string, args ...any) ([]access.Device, error) {
	return all(g.tx, func(rows *sql.Rows) (d access.Device, err error) {
		var people string
		if err := rows.Scan(&d.ID, &d.Name, &d.Person, &d.Role, &d.PairedAt, &d.SeenAt, &d.RevokedAt, &d.RevokedBy, &people); err != nil {
			return d, err
		}
		return d, json.Unmarshal([]byte(people), &d.People)
	}, `select id, name, person, role, paired_at, seen_at, revoked_at, revoked_by, (
		select json_group_array(distinct p.person) from device_people p join devices as under on under.id = p.pairing
			where p.device = devices.id and (under.revoked_at = 0 or under.id = devices.id)
	) from devices `+which, args...)
}

// Invitation is access.Snap's.
func (g gateTx) Invitation(code [32]byte) (i access.Invitation, found bool, err error) {
	err = g.tx.QueryRow("select person, name, role, made_by, until, used_at, device, claim, chance from pairings where code = ?", code[:]).
		Scan(&i.Person, &i.Name, &i.Role, &i.MadeBy, &i.Until, &i.At, &i.Use.Device, &i.Claim, &i.Chance)
	return i, err == nil, ignoreNone(err)
}

// Invited is access.Snap's.
func (g gateTx) Invited(at int64) (map[string]int, error) {
	return byKey(g.tx, pair[string, int], "select person, count(*) from pairings where used_at = 0 and until > ? group by person", at)
}

// Pair is access.Tx's.
func (g gateTx) Pair(d access.Device, token [32]byte) error {
	if err := g.exec("insert into devices (id, name, person, role, token, paired_at, seen_at) values (?, ?, ?, ?, ?, ?, ?)",
		d.ID, d.Name, d.Person, d.Role, token[:], d.PairedAt, d.SeenAt); err != nil {
		return err
	}
	return g.exec("insert into device_people values (?, ?, ?, ?)", d.ID, d.Person, d.ID, d.PairedAt)
}

// Inherit is access.Tx's.
func (g gateTx) Inherit(device string, token [32]byte) error {
	return g.exec(`insert or ignore into device_people select ?, p.person, p.pairing, p.since
		from device_people p join devices d on d.id = p.device where d.token = ?`, device, token[:])
}

// Seen is access.Tx's.
func (g gateTx) Seen(device string, at int64) error {
	return g.exec("update devices set seen_at = ? where id = ?", at, device)
}

// Revoke is access.Tx's.
func (g gateTx) Revoke(device string, at int64, by string) error {
	return g.exec("update devices set revoked_at = ?, revoked_by = ? where id = ? and revoked_at = 0", at, by, device)
}

// Invite is access.Tx's.
func (g gateTx) Invite(code [32]byte, i access.Invitation) error {
	return g.exec("insert into pairings (code, person, name, role, made_by, until) values (?, ?, ?, ?, ?, ?)",
		code[:], i.Person, i.Name, i.Role, i.MadeBy, i.Until)
}

// Forget is access.Tx's.
func (g gateTx) Forget(before int64) error {
	return g.exec("delete from pairings where until < ?", before)
}

// Name is access.Tx's.
func (g gateTx) Name(code [32]byte, person string) error {
	return g.exec("update pairings set person = ? where code = ? and person = ''", person, code[:])
}

// Spend is access.Tx's.
func (g gateTx) Spend(code [32]byte, u access.Use) error {
	return g.exec("update pairings set used_at = ?, device = ?, claim = ?, chance = ? where code = ?", u.At, u.Device, u.Claim, u.Chance, code[:])
}

func (g gateTx) exec(query string, args ...any) error {
	_, err := g.tx.Exec(query, args...)
	return err
}
