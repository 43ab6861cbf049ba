// Package move copies a nursery from one store into another, row by row and number by number: the same positions, epochs, keys, devices and quarantine,
// so that no phone can tell. It knows the names of tables, which stores share, and nothing of how they lie there.
package move

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
	canonical "bedwalk/sync/journal"
)

// The tables in an order in which every row comes after those that it names; the notes come between the two lists.
var (
	before = []string{"registers", "writers", "epochs", "meta"}
	after  = []string{
		"entry_keys", "records", "digests", "record_sums", "leaving_sums", "closed_lots", "closed_before", "staying", "marks", "quarantine", "awaited",
		"reports", "incidents", "bed_scores", "scores_at", "devices", "device_people", "pairings", "reading_keys", "hooks", "hook_messages", "hook_tries", "hook_state",
	}
)

// Errors of a copy.
var (
	ErrThere   = errors.New("there is a nursery already, and nothing of it is written over")
	ErrDamaged = errors.New("a note cannot be read; bedwalk verify names what is damaged, restore a backup first")
	ErrLacks   = errors.New("the database has notes that the file lacks, and they are not written over; copy the file that has them, or this one into another site with --site NAME --new-site")
	ErrUnequal = errors.New("the copy is not equal to what it was made of")
)

// rowsAtOnce is how many rows of a table are handed over at once.
const rowsAtOnce = 1000

// Nothing is ErrThere where a store has a nursery.
func Nothing(ctx context.Context, at journal.Site) error {
	return at.Read(ctx, func(snap journal.Snap) error {
		return snap.State([]string{"meta", "epochs", "registers", "devices"}, func(journal.StateRow) error { return ErrThere })
	})
}

// Covers is ErrLacks where some writer's notes reach further in a store than in the one that is to be copied over it.
func Covers(ctx context.Context, from, to journal.Site) error {
	var highs [2]map[string]int64
	for i, site := range []journal.Site{from, to} {
		highs[i] = map[string]int64{}
		if err := site.Read(ctx, func(snap journal.Snap) error {
			return snap.State([]string{"writers"}, func(one journal.StateRow) error {
				high, ok := one.Row["high"].(int64)
				if !ok {
					return fmt.Errorf("a writer has the number %v", one.Row["high"])
				}
				highs[i][fmt.Sprintf("%v %v", one.Row["device"], one.Row["inc"])] = high
				return nil
			})
		}); err != nil {
			return err
		}
	}
	for writer, high := range highs[1] {
		if high > highs[0][writer] {
			return ErrLacks
		}
	}
	return nil
}

// Copy copies a nursery of one moment over whatever a store has, in one transaction, and returns how many notes it has. Whoever can write to either has to
// be kept away.
func Copy(ctx context.Context, from, to journal.Site) (notes int, err error) {
	err = from.Read(ctx, func(snap journal.Snap) error {
		return to.Write(ctx, func(tx journal.Tx) error {
			for _, tables := range [][]string{after, {"notes"}, before} {
				for _, table := range slices.Backward(tables) {
					if err := tx.Empty(table); err != nil {
						return err
					}
				}
			}
			if err := copyTables(snap, tx, before); err != nil {
				return err
			}
			if notes, err = copyNotes(snap, tx); err != nil {
				return err
			}
			return copyTables(snap, tx, after)
		})
	})
	return notes, err
}

func copyTables(snap journal.Snap, tx journal.Tx, tables []string) error {
	for _, table := range tables {
		var rows []journal.StateRow
		if err := snap.State([]string{table}, func(one journal.StateRow) error {
			if rows = append(rows, one); len(rows) < rowsAtOnce {
				return nil
			}
			some := rows
			rows = nil
			return tx.Restore(table, some)
		}); err != nil {
			return fmt.Errorf("copy table %s: %w", table, err)
		}
		if err := tx.Restore(table, rows); err != nil {
			return fmt.Errorf("copy table %s: %w", table, err)
		}
	}
	return nil
}

func copyNotes(snap journal.Snap, tx journal.Tx) (n int, err error) {
	for row, err := range snap.Rows(0, math.MaxInt64) {
		if err != nil {
			return n, err
		}
		if row.Bytes == nil {
			return n, fmt.Errorf("position %d: %w", row.Position, ErrDamaged)
		}
		entry, err := canonical.Parse(row.Bytes)
		if err != nil || entry.ID != row.ID {
			// It was taken before an older build was as strict. Its bytes are kept as they are.
			entry = schema.Entry{ID: row.ID}
		}
		if err := tx.PutNote(journal.NewNote{
			Position: row.Position, Writer: row.Writer, Seq: row.Seq, Lot: row.LotN, ReceivedAt: row.ReceivedAt, Stamp: row.Stamp, Entry: entry, Raw: append([]byte(nil), row.Bytes...),
		}); err != nil {
			return n, fmt.Errorf("copy the note at position %d: %w", row.Position, err)
		}
		n++
	}
	return n, nil
}

// Same compares two nurseries row by row, every table of both. The error is ErrUnequal, and says what differs.
func Same(ctx context.Context, one, other journal.Site) error {
	var sums [2]map[string]string
	for i, site := range []journal.Site{one, other} {
		if err := site.Read(ctx, func(snap journal.Snap) (err error) {
			sums[i], err = sumsOf(snap)
			return err
		}); err != nil {
			return err
		}
	}
	for table, sum := range sums[0] {
		if sums[1][table] != sum {
			return fmt.Errorf("%w: %s", ErrUnequal, table)
		}
	}
	return nil
}

// sumsOf is a hash of each table's rows, and one of the notes.
func sumsOf(snap journal.Snap) (map[string]string, error) {
	sums := map[string]string{}
	for _, tables := range [][]string{before, after} {
		for _, table := range tables {
			hash := sha256.New()
			if err := snap.State([]string{table}, func(one journal.StateRow) error {
				raw, err := json.Marshal(one.Row)
				hash.Write(append(raw, '\n'))
				return err
			}); err != nil {
				return nil, err
			}
			sums[table] = hex.EncodeToString(hash.Sum(nil))
		}
	}
	hash := sha256.New()
	for row, err := range snap.Rows(0, math.MaxInt64) {
		if err != nil {
			return nil, err
		}
		raw := row.Bytes
		row.Bytes = nil
		head, err := json.Marshal(row)
		if err != nil {
			return nil, err
		}
		hash.Write(binary.BigEndian.AppendUint64(head, uint64(len(raw))))
		hash.Write(raw)
	}
	sums["notes"] = hex.EncodeToString(hash.Sum(nil))
	return sums, nil
}
