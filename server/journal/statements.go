package journal

import (
	"context"
	"database/sql"

	"bedwalk/server/db"
)

// statements are compiled once: these run for every entry of every push.
type statements struct {
	entry, key, record, digest, recordSum, stay, leaving *sql.Stmt
}

func (s *statements) prepare(ctx context.Context, d *db.DB) error {
	for _, one := range []struct {
		into  **sql.Stmt
		query string
	}{
		{&s.entry, "insert into notes values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"},
		{&s.key, "insert or ignore into entry_keys values (?, ?)"},
		{&s.record, `insert into records (key, lot, bed, changed, json) values (?, ?, ?, ?, ?)
			on conflict (key) do update set lot = excluded.lot, bed = excluded.bed, changed = excluded.changed, json = excluded.json`},
		{&s.digest, `insert into digests values (?, ?, ?)
			on conflict (lot) do update set count = excluded.count, sum = excluded.sum`},
		{&s.recordSum, `insert into record_sums values (?, ?, ?)
			on conflict (lot) do update set count = excluded.count, sum = excluded.sum`},
		{&s.stay, "insert or ignore into staying values (?, ?)"},
		{&s.leaving, `insert into leaving_sums values (?, ?, ?, ?, ?) on conflict (lot) do update set
			count = excluded.count, sum = excluded.sum, records = excluded.records, record_sum = excluded.record_sum`},
	} {
		var err error
		if *one.into, err = d.Prepare(ctx, one.query); err != nil {
			return err
		}
	}
	return nil
}

// in binds the statements to a transaction.
func (s statements) in(tx *sql.Tx) statements {
	return statements{
		entry: tx.Stmt(s.entry), key: tx.Stmt(s.key), record: tx.Stmt(s.record), digest: tx.Stmt(s.digest), recordSum: tx.Stmt(s.recordSum),
		stay: tx.Stmt(s.stay), leaving: tx.Stmt(s.leaving),
	}
}
