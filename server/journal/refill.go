package journal

import (
	"context"
	"database/sql"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bedwalk/server/db"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// ErrNotWhole says that an export does not make the journal that it says it is of.
var ErrNotWhole = errors.New("the export does not fit together")

// refilledAtOnce is how many notes are written in one transaction.
const refilledAtOnce = 500

// Refill makes a journal again from an export, in a database without a note: the same notes at the same positions, in the same chains, the
// same quarantine, clock and epochs. The database has to be in a folder that is thrown away: what a first start writes beside it is of no
// nursery. Its first start elsewhere begins an epoch, as after a restored backup. An export that does not fit together is ErrNotWhole.
func Refill(ctx context.Context, d *db.DB, state []StateRow, notes func(each func(Placed) error) error) error {
	s, err := Open(ctx, Options{DB: d})
	if err != nil {
		return err
	}
	defer s.Close()
	r := &refill{Store: s}
	if err := d.Write(ctx, func(tx *sql.Tx) error {
		return errors.Join(empty(tx, "epochs", "meta where name not in ('"+metaFold+"')"), insertState(tx, state, "registers", "writers"))
	}); err != nil {
		return err
	}
	if err := notes(func(one Placed) error { return r.add(ctx, one) }); err != nil {
		return err
	}
	if err := r.flush(ctx); err != nil {
		return err
	}
	return d.Write(ctx, func(tx *sql.Tx) error {
		end, err := meta(tx, metaOrder)
		if err != nil {
			return err
		}
		if want := settingIn(state, metaOrder); want != "" && want != end {
			return fmt.Errorf("%w: its notes, their places or times are not those of the journal that it was made of", ErrNotWhole)
		}
		return errors.Join(empty(tx, "closed_lots", "closed_before", "meta where name not in ('"+metaFold+"', '"+metaOrder+"')"),
			insertState(tx, state, "epochs", "quarantine", "awaited", "closed_lots", "closed_before", "meta"))
	})
}

func isSetting(row StateRow, of []string) bool {
	name, _ := row.Row["name"].(string)
	return slices.Contains(of, name)
}

// settingIn is a setting of the journal that an export is of.
func settingIn(state []StateRow, name string) string {
	for _, one := range state {
		if one.Table == "meta" && one.Row["name"] == name {
			value, _ := one.Row["value"].(string)
			return value
		}
	}
	return ""
}

// StateFold is the FoldVersion of the build that an export is of.
func StateFold(state []StateRow) int {
	n, _ := strconv.Atoi(settingIn(state, metaFold))
	return n
}

// OfAnother is true when a data folder knows epochs, and none of them is of the journal that an export is of.
func OfAnother(dir string, state []StateRow) (bool, error) {
	beside, err := readSidecar(dir)
	if err != nil {
		return false, err
	}
	known := false
	for _, one := range state {
		known = known || one.Table == "epochs" && slices.ContainsFunc(beside, func(e Epoch) bool { return e.Epoch == one.Row["epoch"] })
	}
	return len(beside) > 0 && !known, nil
}

func empty(tx *sql.Tx, tables ...string) error {
	for _, table := range tables {
		if _, err := tx.Exec("delete from " + table); err != nil {
			return err
		}
	}
	return nil
}

// insertState writes the rows of some tables. Names of tables and columns are taken from the database, never from the export.
func insertState(tx *sql.Tx, state []StateRow, tables ...string) error {
	for _, table := range tables {
		columns, err := column[string](tx.Query("select name from pragma_table_info(?)", table))
		if err != nil {
			return err
		}
		query := "insert into " + table + " values (?" + strings.Repeat(", ?", len(columns)-1) + ")"
		for _, one := range state {
			if one.Table != table || table == "meta" && (!isSetting(one, stateMeta) || isSetting(one, madeAgain)) {
				continue
			}
			values := make([]any, len(columns))
			for i, name := range columns {
				if values[i], err = valueOf(one.Row[name]); err != nil {
					return fmt.Errorf("%w: table %s, column %s: %w", ErrNotWhole, table, name, err)
				}
			}
			if _, err := tx.Exec(query, values...); err != nil {
				return fmt.Errorf("%w: table %s: %w", ErrNotWhole, table, err)
			}
		}
	}
	return nil
}

// valueOf reads a value back as StateRow says it is written.
func valueOf(value any) (any, error) {
	switch v := value.(type) {
	case json.Number:
		return v.Int64()
	case string:
		return v, nil
	case map[string]any:
		if text, ok := v["text"].(string); ok {
			return []byte(text), nil
		}
		if text, ok := v["bytes"].(string); ok {
			return base64.StdEncoding.DecodeString(text)
		}
	}
	return nil, fmt.Errorf("%v is no value", value)
}

// refill is a journal that is being made again.
type refill struct {
	*Store
	page []Placed
}

func (r *refill) add(ctx context.Context, one Placed) error {
	r.page = append(r.page, one)
	if len(r.page) < refilledAtOnce {
		return nil
	}
	return r.flush(ctx)
}

func (r *refill) flush(ctx context.Context) error {
	page := r.page
	r.page = nil
	if len(page) == 0 {
		return nil
	}
	arrived, keys := make([]arrival, len(page)), []string(nil)
	for i, one := range page {
		entry, err := journal.Parse(one.Entry)
		if err != nil {
			return fmt.Errorf("%w: the note at position %d cannot be read: %w", ErrNotWhole, one.Position, err)
		}
		arrived[i] = arrival{raw: one.Entry, entry: entry, keys: fold.Keys(entry)}
		keys = append(keys, arrived[i].keys...)
	}
	return r.write(ctx, func(b *batch) error {
		if err := b.preload(keys); err != nil {
			return err
		}
		for i, one := range page {
			if err := b.refill(one, arrived[i]); err != nil {
				return err
			}
		}
		return nil
	})
}

func (b *batch) refill(one Placed, a arrival) error {
	if one.Position != b.head+1 {
		return fmt.Errorf("%w: it has no note for position %d", ErrNotWhole, b.head+1)
	}
	at := placeOf(a.entry)
	if one.By != nil {
		at = *one.By
	}
	key := writerKey{at.Device, at.Incarnation}
	w, err := b.writerOf(key)
	if err != nil {
		return err
	}
	if w.n == 0 {
		return fmt.Errorf("%w: it does not say where the notes of device %q end", ErrNotWhole, at.Device)
	}
	// Its other notes do not ask the file for it again.
	b.over.writers[key] = w
	a.seq = at.Seq
	if _, err := b.merge(a, w, one.Stamp, one.ReceivedAt); err != nil {
		return fmt.Errorf("%w: the note at position %d: %w", ErrNotWhole, one.Position, err)
	}
	return nil
}
