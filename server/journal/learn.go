package journal

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strconv"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// An entry of a kind that a build does not know is merged without keys, and has no part in any record. When a later build that knows the
// kind opens the file, it gives these entries their keys and folds their records, before it serves anybody.

// metaFold is the FoldVersion by which the entries of the file have their keys; metaLearned, while a higher one is being learned,
// that one and the position up to which it has been, as "2 500".
const (
	metaFold    = "fold"
	metaLearned = "fold_learned"
)

// learned says by which FoldVersion the entries of a file have their keys: up to position upTo by next, after it by fold.
type learned struct {
	fold, next int
	upTo       int64
}

func learnedIn(tx *sql.Tx) (l learned, err error) {
	fold, err := meta(tx, metaFold)
	if err != nil {
		return l, err
	}
	// A file of the first release has no number, which stands for 0.
	l.fold, _ = strconv.Atoi(fold)
	under, err := meta(tx, metaLearned)
	if _, wrong := fmt.Sscanf(under, "%d %d", &l.next, &l.upTo); wrong != nil {
		l.next, l.upTo = l.fold, 0
	}
	return l, err
}

// keys are those under which an entry stands in the file.
func (l learned) keys(e schema.Entry, position int64) []string {
	if position <= l.upTo {
		return keysAt(e, l.next)
	}
	return keysAt(e, l.fold)
}

// keysAt are the keys that a build of some FoldVersion gives an entry.
func keysAt(e schema.Entry, version int) []string {
	if slices.Contains(schema.KindsSince(version), e.Kind) {
		return nil
	}
	return fold.Keys(e)
}

// builds is the FoldVersion of this build, or the older one that a test lets the store work at.
func (s *Store) builds() int {
	if s.hooks.Fold != nil {
		return *s.hooks.Fold
	}
	return schema.FoldVersion
}

// learnedAtOnce is how many entries are given their keys in one transaction.
const learnedAtOnce = 500

// learnKinds gives entries that an older build merged unread their keys, and folds their records, in pages. Where it was stopped it goes
// on at the next start. A file that a newer build has used keeps that build's number, so that its records are not compared with
// those of this one.
func (s *Store) learnKinds(ctx context.Context) error {
	for {
		var now learned
		if err := s.db.Read(ctx, func(tx *sql.Tx) (err error) { now, err = learnedIn(tx); return err }); err != nil {
			return err
		}
		if now.fold >= s.builds() {
			s.fold = now.fold
			return nil
		}
		if err := s.write(ctx, func(b *batch) error { return b.learnSome(now) }); err != nil {
			return fmt.Errorf("read the notes that an older version kept unread: %w", err)
		}
		if err := call(s.hooks.Learned); err != nil {
			return err
		}
	}
}

// learnSome gives the next page of entries their keys, in the transaction of the mark that says so.
func (b *batch) learnSome(now learned) error {
	version, after := b.store.builds(), now.upTo
	if now.next != version {
		// Another build had begun: what it did is found done.
		after = 0
	}
	unread, err := b.unreadAfter(after, schema.KindsSince(now.fold))
	if err != nil {
		return err
	}
	for _, one := range unread {
		if err := b.learn(one); err != nil {
			return err
		}
	}
	if len(unread) < learnedAtOnce {
		if _, err := b.tx.Exec("delete from meta where name = ?", metaLearned); err != nil {
			return err
		}
		return setMeta(b.tx, metaFold, strconv.Itoa(version))
	}
	return setMeta(b.tx, metaLearned, fmt.Sprintf("%d %d", version, unread[len(unread)-1].Position))
}

// unreadAfter is the next page of entries of some kinds. In canonical bytes a kind stands in one way alone, and so it does in a shape: the
// others need not be put together. The same letters within a text only make an entry be read for nothing.
func (b *batch) unreadAfter(after int64, kinds []string) (page []schema.Stamped, err error) {
	marks := make([]string, len(kinds))
	for i, kind := range kinds {
		marks[i] = `"kind":"` + kind + `"`
	}
	wanted, err := list(marks)
	if err != nil {
		return nil, err
	}
	rows, err := b.tx.Query(`select position, at, quality, at_from, at_to, bytes from entries where position in (
			select position from notes where position > ?1 and (shape in (select s.n from shapes s, json_each(?2) k where instr(s.shape, k.value) > 0)
				or shape = 0 and exists (select 1 from json_each(?2) k where instr(body, cast(k.value as blob)) > 0))
			order by position limit ?3) order by position`, after, wanted, learnedAtOnce)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var one schema.Stamped
		var raw []byte
		if err := rows.Scan(&one.Position, &one.Stamp.At, &one.Stamp.Quality, &one.Stamp.From, &one.Stamp.To, &raw); err != nil {
			return nil, err
		}
		// What the disk damaged has no keys.
		one.Entry, _ = journal.Parse(raw)
		page = append(page, one)
	}
	return page, rows.Err()
}

// learn gives one entry the keys that it lacks.
func (b *batch) learn(one schema.Stamped) error {
	if !slices.Contains(schema.KindsSince(0), one.Entry.Kind) {
		return nil
	}
	keys := keysAt(one.Entry, b.store.builds())
	if err := b.preload(keys); err != nil {
		return err
	}
	for _, key := range keys {
		isKnown, err := b.isListed(key, one)
		if err != nil {
			return err
		}
		if isKnown {
			continue
		}
		t := b.keys[key]
		// An entry that names its record is found by its id, before it has any part in it.
		t.entries = slices.DeleteFunc(t.entries, func(e schema.Stamped) bool { return e.Entry.ID == one.Entry.ID })
		b.touch(key, one)
	}
	return nil
}

// isListed is true for an entry that has its part in a record already; else it has the row that says so from now on.
func (b *batch) isListed(key string, one schema.Stamped) (bool, error) {
	if !named(key, one.Entry.ID) {
		done, err := b.tx.Exec("insert or ignore into entry_keys values (?, ?)", key, one.Position)
		if err != nil {
			return false, err
		}
		added, err := done.RowsAffected()
		return added == 0, err
	}
	var n int
	err := b.tx.QueryRow("select count(*) from records where key = ?", key).Scan(&n)
	return n > 0, err
}
