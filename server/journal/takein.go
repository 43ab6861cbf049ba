package journal

import (
	"bytes"
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Taken counts what became of the notes of a file. Known were here already; Held wait for a decision.
type Taken struct{ Merged, Known, Held int }

func (t *Taken) add(given []schema.Given) {
	for _, g := range given {
		if g.State == "merged" {
			t.Merged++
		} else {
			t.Held++
		}
	}
}

// TakeIn takes the notes of a file that a phone saved when it could no longer send. Those that go on where their
// device's chain ends are taken as if the phone had sent them; all others are kept under a writer of the file's own and
// wait for a decision, because nothing vouches for their order. Taking in the same file twice changes nothing.
func (s *Store) TakeIn(ctx context.Context, raws []json.RawMessage) (Taken, error) {
	var taken Taken
	lines, loose := map[writerKey][]arrival{}, []json.RawMessage{}
	for _, raw := range raws {
		known, err := s.holds(ctx, raw)
		if err != nil {
			return taken, err
		}
		entry, err := journal.Parse(raw)
		switch {
		case known:
			taken.Known++
		case err != nil || entry.Seq < 1 || entry.Device == "":
			loose = append(loose, raw)
		default:
			key := writerKey{entry.Device, entry.Incarnation}
			lines[key] = append(lines[key], arrival{raw: raw, seq: entry.Seq})
		}
	}
	for key, line := range lines {
		rest, err := s.goOn(ctx, key, line, &taken)
		if err != nil {
			return taken, err
		}
		loose = append(loose, rest...)
	}
	return taken, s.keepLoose(ctx, loose, &taken)
}

// holds is true for a note that is here byte for byte or under its id, in the journal or aside.
func (s *Store) holds(ctx context.Context, raw []byte) (known bool, err error) {
	entry, _ := journal.Parse(raw)
	err = s.db.Read(ctx, func(tx *sql.Tx) error {
		var found []byte
		err := tx.QueryRow(`select bytes from entries where id = unhex(?1) union all
			select bytes from waiting where id = ?1 and (id <> '' or bytes = ?2) limit 1`, entry.ID, raw).Scan(&found)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		if err != nil {
			return err
		}
		first, _ := journal.Parse(found)
		known = bytes.Equal(found, raw) || sameNote(first, entry)
		return nil
	})
	return known, err
}

// goOn pushes what continues a device's chain, and returns what does not.
func (s *Store) goOn(ctx context.Context, key writerKey, line []arrival, taken *Taken) (rest []json.RawMessage, err error) {
	slices.SortStableFunc(line, func(a, b arrival) int { return cmp.Compare(a.seq, b.seq) })
	var w writer
	if err := s.db.Read(ctx, func(tx *sql.Tx) error {
		w, err = writerIn(tx, key)
		return err
	}); err != nil {
		return nil, err
	}
	next := []json.RawMessage{}
	for _, a := range line {
		if w.n > 0 && a.seq == w.high+1+int64(len(next)) {
			next = append(next, a.raw)
		} else {
			rest = append(rest, a.raw)
		}
	}
	return rest, s.inBatches(ctx, key, w.high, w.chain, next, taken)
}

func (s *Store) keepLoose(ctx context.Context, loose []json.RawMessage, taken *Taken) error {
	if len(loose) == 0 {
		return nil
	}
	name, err := s.hexID(8)
	if err != nil {
		return err
	}
	return s.inBatches(ctx, writerKey{"file" + name, 1}, 0, [32]byte{}, loose, taken)
}

// inBatches pushes entries in batches of the size that phones use.
func (s *Store) inBatches(ctx context.Context, key writerKey, high int64, chain [32]byte, raws []json.RawMessage, taken *Taken) error {
	const most = 500
	for len(raws) > 0 {
		n := min(most, len(raws))
		answer, err := s.Push(ctx, schema.Push{
			V: schema.Version, Device: key.device, Incarnation: key.inc, From: high + 1, Chain: journal.ChainHex(chain),
			Session: "file", SentWall: s.NowMS(), Entries: raws[:n],
		}, Sender{Device: key.device})
		if err != nil {
			return err
		}
		taken.add(answer.Given)
		for _, raw := range raws[:n] {
			chain = journal.Chain(chain, raw)
		}
		high, raws = high+int64(n), raws[n:]
	}
	return nil
}
