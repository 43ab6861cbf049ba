package journal

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"

	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// ErrNotWhole says that an export does not make the journal that it says it is of.
var ErrNotWhole = errors.New("the export does not fit together")

// refilledAtOnce is how many notes are written in one transaction.
const refilledAtOnce = 500

// Refill makes a journal again from an export, at a site without a note: the same notes at the same positions, in the same chains, the
// same quarantine, clock and epochs. Dir has to be a folder that is thrown away: what a first start writes beside it is of no
// nursery. Its first start elsewhere begins an epoch, as after a restored backup. An export that does not fit together is ErrNotWhole.
func Refill(ctx context.Context, site Site, dir string, state []StateRow, notes func(each func(Placed) error) error) error {
	s, err := Open(ctx, Options{Site: site, Dir: dir})
	if err != nil {
		return err
	}
	defer s.Close()
	r := &refill{Store: s}
	if err := site.Write(ctx, func(tx Tx) error {
		return errors.Join(tx.Empty("epochs"), tx.Empty("meta", metaFold), insertState(tx, state, "registers", "writers"))
	}); err != nil {
		return err
	}
	if err := notes(func(one Placed) error { return r.add(ctx, one) }); err != nil {
		return err
	}
	if err := r.flush(ctx); err != nil {
		return err
	}
	return site.Write(ctx, func(tx Tx) error {
		end, err := tx.Setting(metaOrder)
		if err != nil {
			return err
		}
		if want := settingIn(state, metaOrder); want != "" && want != end {
			return fmt.Errorf("%w: its notes, their places or times are not those of the journal that it was made of", ErrNotWhole)
		}
		return errors.Join(tx.Empty("closed_lots"), tx.Empty("closed_before"), tx.Empty("meta", metaFold, metaOrder),
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

func insertState(tx Tx, state []StateRow, tables ...string) error {
	for _, table := range tables {
		var rows []StateRow
		for _, one := range state {
			if one.Table != table || table == "meta" && (!isSetting(one, stateMeta) || isSetting(one, madeAgain)) {
				continue
			}
			rows = append(rows, one)
		}
		if err := tx.Restore(table, rows); err != nil {
			return err
		}
	}
	return nil
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
