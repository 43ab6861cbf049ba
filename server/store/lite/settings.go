package lite

import (
	"database/sql"
	"errors"

	"bedwalk/server/journal"
)

// Head is journal.Settings'.
func (s snap) Head() (head int64, err error) {
	err = s.tx.QueryRow("select coalesce(max(position), 0) from entries").Scan(&head)
	return head, err
}

// Setting is journal.Settings'.
func (s snap) Setting(name string) (value string, err error) {
	err = s.tx.QueryRow("select value from meta where name = ?", name).Scan(&value)
	return value, ignoreNone(err)
}

// ignoreNone is nil where a row was not there.
func ignoreNone(err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	return err
}

// Epochs is journal.Settings'.
func (s snap) Epochs() ([]journal.Epoch, error) {
	return all(s.tx, func(rows *sql.Rows) (e journal.Epoch, err error) {
		err = rows.Scan(&e.Epoch, &e.Parent, &e.ForkedAt, &e.BeganAt)
		return e, err
	}, "select epoch, parent, forked_at, began_at from epochs order by n")
}

// Chain is journal.Settings'.
func (s snap) Chain(device string, inc int) (c journal.Chain, err error) {
	err = s.tx.QueryRow("select n, high, chain, last_at from writers where device = ? and inc = ?", device, inc).
		Scan(&c.N, &c.High, bytesInto(c.Hash[:]), &c.LastAt)
	return c, ignoreNone(err)
}

// NewestChain is journal.Settings'.
func (s snap) NewestChain(device string) (inc int, c journal.Chain, found bool, err error) {
	err = s.tx.QueryRow("select n, inc, high, chain, last_at from writers where device = ? order by inc desc limit 1", device).
		Scan(&c.N, &inc, &c.High, bytesInto(c.Hash[:]), &c.LastAt)
	return inc, c, err == nil, ignoreNone(err)
}

// Turn is journal.Tx's.
func (t *tx) Turn() (int64, error) {
	err := t.heedOthers()
	return t.site.version, err
}

// Set is journal.Tx's.
func (t *tx) Set(name, value string) error {
	return t.exec("insert into meta values (?, ?) on conflict (name) do update set value = excluded.value", name, value)
}

// Unset is journal.Tx's.
func (t *tx) Unset(name string) error {
	return t.exec("delete from meta where name = ?", name)
}

// PutEpochs is journal.Tx's.
func (t *tx) PutEpochs(all []journal.Epoch) error {
	if err := t.exec("delete from epochs"); err != nil {
		return err
	}
	for i, e := range all {
		if err := t.exec("insert into epochs values (?, ?, ?, ?, ?)", i+1, e.Epoch, e.Parent, e.ForkedAt, e.BeganAt); err != nil {
			return err
		}
	}
	return nil
}

// PutChain is journal.Tx's.
func (t *tx) PutChain(device string, inc int, c journal.Chain) (int64, error) {
	if c.N > 0 {
		return c.N, t.exec("update writers set high = ?, chain = ?, last_at = ? where n = ?", c.High, c.Hash[:], c.LastAt, c.N)
	}
	result, err := t.tx.Exec("insert into writers (device, inc, high, chain, last_at) values (?, ?, ?, ?, ?)", device, inc, c.High, c.Hash[:], c.LastAt)
	if err != nil {
		return 0, err
	}
	return result.LastInsertId()
}

func (t *tx) exec(query string, args ...any) error {
	_, err := t.tx.Exec(query, args...)
	return err
}

// touched says whether a statement changed a row.
func touched(result sql.Result, err error) (bool, error) {
	if err != nil {
		return false, err
	}
	n, err := result.RowsAffected()
	return n > 0, err
}
