package journal

import (
	"context"
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

func learnedIn(snap Snap) (l learned, err error) {
	fold, err := snap.Setting(metaFold)
	if err != nil {
		return l, err
	}
	// A file of the first release has no number, which stands for 0.
	l.fold, _ = strconv.Atoi(fold)
	under, err := snap.Setting(metaLearned)
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
		if err := s.site.Read(ctx, func(snap Snap) (err error) { now, err = learnedIn(snap); return err }); err != nil {
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
	unread, err := b.tx.Unread(after, schema.KindsSince(now.fold), learnedAtOnce)
	if err != nil {
		return err
	}
	for _, line := range unread {
		// What the disk damaged has no keys.
		entry, _ := journal.Parse(line.Bytes)
		if err := b.learn(schema.Stamped{Entry: entry, Stamp: line.Stamp, Position: line.Position}); err != nil {
			return err
		}
	}
	if len(unread) < learnedAtOnce {
		if err := b.tx.Unset(metaLearned); err != nil {
			return err
		}
		return b.tx.Set(metaFold, strconv.Itoa(version))
	}
	return b.tx.Set(metaLearned, fmt.Sprintf("%d %d", version, unread[len(unread)-1].Position))
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
		listed, err := b.tx.HasPart(key, one.Position)
		if err != nil || listed {
			return listed, err
		}
		return false, b.tx.PutPart(key, one.Position)
	}
	_, there, err := b.tx.Number(key)
	return there, err
}
