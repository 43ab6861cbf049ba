package simrun

import (
	"context"
	"iter"
	"sync"

	"bedwalk/server/journal"
)

// Faults that only several servers can have, each a wrong answer to what another server or another database did.
const (
	memoryTrusted = "memory trusted after another server wrote"
	epochKept     = "an epoch kept when a standby took over"
	gateKept      = "a phone that another server revoked let in"
	outOfOrder    = "positions given out of the order of the commits"
)

// planted is a server's site, with a fault around it.
func (h *servers) planted(site journal.Site) journal.Site {
	switch h.plant {
	case memoryTrusted:
		return forgetful{site}
	case outOfOrder:
		return unordered{site, &h.committed}
	}
	return site
}

// look is what every request begins with.
func (h *servers) look(s *server) func(context.Context) error {
	switch h.plant {
	case memoryTrusted:
		return nil
	case gateKept:
		return func(ctx context.Context) error {
			_, err := s.store.Refresh(ctx)
			return err
		}
	}
	return s.shared.Look
}

// deaf is true where servers do not hear each other.
func (h *servers) deaf() bool { return h.plant == memoryTrusted || h.plant == gateKept }

// forgetful is a site that never says that another server has written.
type forgetful struct{ journal.Site }

func (f forgetful) Write(ctx context.Context, write func(journal.Tx) error) error {
	return f.Site.Write(ctx, func(tx journal.Tx) error { return write(forgetfulTx{tx}) })
}

type forgetfulTx struct{ journal.Tx }

func (forgetfulTx) Turn() (int64, error) { return 0, nil }

// committed is of which notes each of the last two writes was: after the first of a range of positions, up to the second.
type committed struct {
	mu         sync.Mutex
	late, last [2]int64
}

// unordered is a site as pulls see it where each write but the last took its positions before that one and was committed after it: its notes appear below
// what has been read.
type unordered struct {
	journal.Site
	of *committed
}

func (u unordered) Write(ctx context.Context, write func(journal.Tx) error) error {
	var put [2]int64
	err := u.Site.Write(ctx, func(tx journal.Tx) error {
		put = [2]int64{}
		return write(unorderedTx{tx, &put})
	})
	if err == nil && put[1] > 0 {
		u.of.mu.Lock()
		defer u.of.mu.Unlock()
		u.of.late, u.of.last = u.of.last, put
	}
	return err
}

func (u unordered) Read(ctx context.Context, read func(journal.Snap) error) error {
	u.of.mu.Lock()
	late := u.of.late
	u.of.mu.Unlock()
	return u.Site.Read(ctx, func(snap journal.Snap) error { return read(unorderedSnap{snap, late}) })
}

type unorderedTx struct {
	journal.Tx
	put *[2]int64
}

func (t unorderedTx) PutNote(n journal.NewNote) error {
	if t.put[1] == 0 {
		t.put[0] = n.Position - 1
	}
	t.put[1] = n.Position
	return t.Tx.PutNote(n)
}

type unorderedSnap struct {
	journal.Snap
	late [2]int64
}

func (s unorderedSnap) After(position int64, limit int) iter.Seq2[journal.Line, error] {
	return s.without(s.Snap.After(position, limit+s.many()), limit)
}

func (s unorderedSnap) AfterBut(position int64, limit int, but journal.LeftOut) iter.Seq2[journal.Line, error] {
	return s.without(s.Snap.AfterBut(position, limit+s.many(), but), limit)
}

func (s unorderedSnap) many() int { return int(s.late[1] - s.late[0]) }

// without gives at most limit notes, and none of the late write.
func (s unorderedSnap) without(all iter.Seq2[journal.Line, error], limit int) iter.Seq2[journal.Line, error] {
	return func(yield func(journal.Line, error) bool) {
		for one, err := range all {
			if err == nil && one.Position > s.late[0] && one.Position <= s.late[1] {
				continue
			}
			if limit--; limit < 0 || !yield(one, err) {
				return
			}
		}
	}
}
