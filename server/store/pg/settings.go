package pg

import (
	"fmt"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

// Head is journal.Settings'.
func (s snap) Head() (int64, error) {
	return value[int64](s, "select coalesce(max(position), 0) from notes")
}

// Setting is journal.Settings'.
func (s snap) Setting(name string) (string, error) {
	return value[string](s, "select value from meta where name = $1", name)
}

// Epochs is journal.Settings'.
func (s snap) Epochs() ([]journal.Epoch, error) {
	return all(s, func(rows pgx.Rows) (e journal.Epoch, err error) {
		err = rows.Scan(&e.Epoch, &e.Parent, &e.ForkedAt, &e.BeganAt)
		return e, err
	}, "select epoch, parent, forked_at, began_at from epochs order by n")
}

// Chain is journal.Settings'.
func (s snap) Chain(device string, inc int) (c journal.Chain, err error) {
	_, err = s.one("select n, high, chain, last_at from writers where device = $1 and inc = $2", []any{device, inc},
		&c.N, &c.High, bytesInto(c.Hash[:]), &c.LastAt)
	return c, err
}

// NewestChain is journal.Settings'.
func (s snap) NewestChain(device string) (inc int, c journal.Chain, found bool, err error) {
	found, err = s.one("select n, inc, high, chain, last_at from writers where device = $1 order by inc desc limit 1", []any{device},
		&c.N, &inc, &c.High, bytesInto(c.Hash[:]), &c.LastAt)
	return inc, c, found, err
}

// bytesInto reads a hash, which is left as it is where there is none.
type bytesInto []byte

// ScanBytes is pgtype.BytesScanner's.
func (hash bytesInto) ScanBytes(raw []byte) error {
	if raw != nil && len(raw) != len(hash) {
		return fmt.Errorf("a hash has %d bytes in place of %d", len(raw), len(hash))
	}
	copy(hash, raw)
	return nil
}

// Turn is journal.Tx's.
func (t *tx) Turn() (int64, error) { return t.db.version, nil }

// Set is journal.Tx's.
func (t *tx) Set(name, value string) error {
	return t.queue("insert into meta (name, value) values ($1, $2) on conflict (site, name) do update set value = excluded.value", name, value)
}

// Unset is journal.Tx's.
func (t *tx) Unset(name string) error { return t.queue("delete from meta where name = $1", name) }

// PutEpochs is journal.Tx's.
func (t *tx) PutEpochs(all []journal.Epoch) error {
	if err := t.queue("delete from epochs"); err != nil {
		return err
	}
	for i, e := range all {
		if err := t.queue("insert into epochs (n, epoch, parent, forked_at, began_at) values ($1, $2, $3, $4, $5)", i+1, e.Epoch, e.Parent, e.ForkedAt, e.BeganAt); err != nil {
			return err
		}
	}
	return nil
}

// PutChain is journal.Tx's. Numbers are one above the highest, which nobody else can take while the site is held.
func (t *tx) PutChain(device string, inc int, c journal.Chain) (int64, error) {
	if c.N > 0 {
		return c.N, t.queue("update writers set high = $1, chain = $2, last_at = $3 where n = $4", c.High, c.Hash[:], c.LastAt, c.N)
	}
	return value[int64](t.snap, `insert into writers (n, device, inc, high, chain, last_at)
		select coalesce(max(n), 0) + 1, $1, $2::bigint, $3::bigint, $4::bytea, $5::bigint from writers returning n`, device, inc, c.High, c.Hash[:], c.LastAt)
}

// Register is journal.Tx's.
func (t *tx) Register(id string) (int64, error) {
	if id == "" {
		return 0, nil
	}
	if n, ok := t.over[id]; ok {
		return n, nil
	}
	if n, ok := t.db.registers[id]; ok {
		return n, nil
	}
	n, err := value[int64](t.snap, `with have as (select n from registers where id = $1),
		put as (insert into registers (n, id) select (select coalesce(max(n), 0) + 1 from registers), $1 where not exists (select 1 from have) returning n)
		select n from have union all select n from put`, id)
	if err == nil {
		t.over[id] = n
	}
	return n, err
}
