package lite

import (
	"database/sql"

	"bedwalk/server/access"
)

// KeyHolder is access.Snap's.
func (g gateTx) KeyHolder(key [32]byte) (access.Reader, bool, error) {
	return first(g.readers("where hash = ?", key[:]))
}

// Readers is access.Snap's. The file may be of a build that knew no reading keys.
func (g gateTx) Readers() ([]access.Reader, error) {
	if has, err := (snap{g.tx}).Keeps("reading_keys"); err != nil || !has {
		return nil, err
	}
	return g.readers("order by made_at desc, id")
}

func (g gateTx) readers(which string, args ...any) ([]access.Reader, error) {
	return all(g.tx, func(rows *sql.Rows) (r access.Reader, err error) {
		err = rows.Scan(&r.ID, &r.Name, &r.Table, &r.People, &r.MadeBy, &r.MadeAt, &r.UsedAt, &r.RevokedAt, &r.RevokedBy, &r.Orphaned)
		return r, err
	}, `select id, name, of_table, people, made_by, made_at, used_at, revoked_at, revoked_by, not exists (
		select 1 from devices where person = made_by and role <> 'scout' and devices.revoked_at = 0
	) from reading_keys `+which, args...)
}

// PutReader is access.Tx's.
func (g gateTx) PutReader(r access.Reader, key [32]byte) error {
	return g.exec("insert into reading_keys (id, name, hash, of_table, people, made_by, made_at) values (?, ?, ?, ?, ?, ?, ?)",
		r.ID, r.Name, key[:], r.Table, r.People, r.MadeBy, r.MadeAt)
}

// UseKey is access.Tx's.
func (g gateTx) UseKey(id string, at int64) error {
	return g.exec("update reading_keys set used_at = ? where id = ?", at, id)
}

// RevokeKey is access.Tx's.
func (g gateTx) RevokeKey(id string, at int64, by string) error {
	return g.exec("update reading_keys set revoked_at = ?, revoked_by = ? where id = ? and revoked_at = 0", at, by, id)
}
