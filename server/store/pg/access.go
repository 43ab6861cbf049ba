package pg

import (
	"context"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/access"
)

// Access keeps devices, invitations and reading keys in the database.
func Access(d *DB) access.Store { return gate{d} }

type gate struct{ *DB }

// Write is access.Store's.
func (g gate) Write(ctx context.Context, f func(access.Tx) error) error {
	return g.write(ctx, func(t *tx) error { return f(&gateTx{gateSnap{t.snap}, t}) })
}

// Read is access.Store's.
func (g gate) Read(ctx context.Context, f func(access.Snap) error) error {
	return g.read(ctx, func(t snap) error { return f(gateSnap{t}) })
}

// gateSnap reads, gateTx writes too.
type gateSnap struct{ snap }

type gateTx struct {
	gateSnap
	put *tx
}

// Device is access.Snap's.
func (g gateSnap) Device(id string) (access.Device, bool, error) {
	return first(g.devices("where id = $1", id))
}

// Holder is access.Snap's.
func (g gateSnap) Holder(token [32]byte) (access.Device, bool, error) {
	return first(g.devices("where token = $1", token[:]))
}

// Devices is access.Snap's.
func (g gateSnap) Devices() ([]access.Device, error) {
	return g.devices("order by paired_at desc, id")
}

func (g gateSnap) devices(which string, args ...any) ([]access.Device, error) {
	return all(g.snap, func(rows pgx.Rows) (d access.Device, err error) {
		err = rows.Scan(&d.ID, &d.Name, &d.Person, &d.Role, &d.PairedAt, &d.SeenAt, &d.RevokedAt, &d.RevokedBy, &d.People)
		return d, err
	}, `select id, name, person, role, paired_at, seen_at, revoked_at, revoked_by, array(
		select distinct p.person from device_people p join devices as under on under.id = p.pairing
			where p.device = devices.id and (under.revoked_at = 0 or under.id = devices.id)
	) from devices `+which, args...)
}

// Invitation is access.Snap's.
func (g gateSnap) Invitation(code [32]byte) (i access.Invitation, found bool, err error) {
	found, err = g.one("select person, name, role, made_by, until, used_at, device, claim, chance from pairings where code = $1", []any{code[:]},
		&i.Person, &i.Name, &i.Role, &i.MadeBy, &i.Until, &i.At, &i.Use.Device, &i.Claim, &i.Chance)
	return i, found, err
}

// Invited is access.Snap's.
func (g gateSnap) Invited(at int64) (map[string]int, error) {
	return byKey(g.snap, pair[string, int], "select person, count(*) from pairings where used_at = 0 and until > $1 group by person", at)
}

// KeyHolder is access.Snap's.
func (g gateSnap) KeyHolder(key [32]byte) (access.Reader, bool, error) {
	return first(g.readers("where hash = $1", key[:]))
}

// Readers is access.Snap's.
func (g gateSnap) Readers() ([]access.Reader, error) {
	return g.readers("order by made_at desc, id")
}

func (g gateSnap) readers(which string, args ...any) ([]access.Reader, error) {
	return all(g.snap, func(rows pgx.Rows) (r access.Reader, err error) {
		err = rows.Scan(&r.ID, &r.Name, &r.Table, &r.People, &r.MadeBy, &r.MadeAt, &r.UsedAt, &r.RevokedAt, &r.RevokedBy, &r.Orphaned)
		return r, err
	}, `select id, name, of_table, people <> 0, made_by, made_at, used_at, revoked_at, revoked_by, not exists (
		select 1 from devices where person = made_by and role <> 'scout' and devices.revoked_at = 0
	) from reading_keys `+which, args...)
}

// now sends a statement at once, so that its error is that of the call.
func (g *gateTx) now(query string, args ...any) error {
	_, err := g.put.changed(query, args...)
	return err
}

// Pair is access.Tx's.
func (g *gateTx) Pair(d access.Device, token [32]byte) error {
	if err := g.now("insert into devices (id, name, person, role, token, paired_at, seen_at) values ($1, $2, $3, $4, $5, $6, $7)",
		d.ID, d.Name, d.Person, d.Role, token[:], d.PairedAt, d.SeenAt); err != nil {
		return err
	}
	g.put.opens = true
	return g.now("insert into device_people (device, person, pairing, since) values ($1, $2, $1, $3)", d.ID, d.Person, d.PairedAt)
}

// Inherit is access.Tx's.
func (g *gateTx) Inherit(device string, token [32]byte) error {
	return g.now(`insert into device_people (device, person, pairing, since) select $1, p.person, p.pairing, p.since
		from device_people p join devices d on d.id = p.device where d.token = $2 on conflict do nothing`, device, token[:])
}

// Seen is access.Tx's.
func (g *gateTx) Seen(device string, at int64) error {
	return g.now("update devices set seen_at = $1 where id = $2", at, device)
}

// Revoke is access.Tx's.
func (g *gateTx) Revoke(device string, at int64, by string) error {
	g.put.opens = true
	return g.now("update devices set revoked_at = $1, revoked_by = $2 where id = $3 and revoked_at = 0", at, by, device)
}

// Invite is access.Tx's.
func (g *gateTx) Invite(code [32]byte, i access.Invitation) error {
	g.put.opens = true
	return g.now("insert into pairings (code, person, name, role, made_by, until) values ($1, $2, $3, $4, $5, $6)",
		code[:], i.Person, i.Name, i.Role, i.MadeBy, i.Until)
}

// Forget is access.Tx's.
func (g *gateTx) Forget(before int64) error {
	return g.now("delete from pairings where until < $1", before)
}

// Name is access.Tx's.
func (g *gateTx) Name(code [32]byte, person string) error {
	return g.now("update pairings set person = $1 where code = $2 and person = ''", person, code[:])
}

// Spend is access.Tx's.
func (g *gateTx) Spend(code [32]byte, u access.Use) error {
	return g.now("update pairings set used_at = $1, device = $2, claim = $3, chance = $4 where code = $5", u.At, u.Device, u.Claim, u.Chance, code[:])
}

// PutReader is access.Tx's.
func (g *gateTx) PutReader(r access.Reader, key [32]byte) error {
	g.put.opens = true
	return g.now("insert into reading_keys (id, name, hash, of_table, people, made_by, made_at) values ($1, $2, $3, $4, $5, $6, $7)",
		r.ID, r.Name, key[:], r.Table, bit(r.People), r.MadeBy, r.MadeAt)
}

// UseKey is access.Tx's.
func (g *gateTx) UseKey(id string, at int64) error {
	return g.now("update reading_keys set used_at = $1 where id = $2", at, id)
}

// RevokeKey is access.Tx's.
func (g *gateTx) RevokeKey(id string, at int64, by string) error {
	g.put.opens = true
	return g.now("update reading_keys set revoked_at = $1, revoked_by = $2 where id = $3 and revoked_at = 0", at, by, id)
}
