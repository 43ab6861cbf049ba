// Package journal keeps every note that ever reached the server, and the records that they add up to, in one
// transaction each time: a push is answered only after both are on the disk.
//
// What an entry's bytes are, when it was made and what it means is decided in package sync, alike on every device;
// here it is decided what is kept, in which order, and what a device is told. The central type is Store. Everything
// that a Store depends on (files, clock, chance, faults) is handed in, because the simulator drives this very code.
package journal

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"sync"
	"sync/atomic"
	"time"
)

// Options are what a Store depends on. Site is required, and Dir, the folder of the files that are in no backup; the rest has the real
// thing for a zero value.
type Options struct {
	Site Site
	Dir  string
	// Now is the server's clock. It may jump; the Store gives no stamp then. Mono is one that nobody can set, in
	// milliseconds from any beginning; where Now is handed in and Mono is not, it follows Now.
	Now  func() time.Time
	Mono func() int64
	// Random gives ids and epochs.
	Random io.Reader
	Hooks  Hooks
	// Beside opens a journal that another program holds: it begins no epoch and touches no file beside the database.
	Beside bool
	// Shared is a site that is not in Dir, and that other programs serve too, each with a folder of its own: a folder that knows of no epoch, or of an
	// earlier one, takes over the site's.
	Shared bool
	// Replaced is true where the site may be an older one than was last served: an epoch begins.
	Replaced bool
	// StartEmpty lets a nursery begin without a note although the head file says that there were some.
	StartEmpty bool
	// Quota bounds what one device may have in quarantine; DefaultQuota unless given.
	Quota Quota
}

// Hooks are called at the moments at which a crash matters. An error from the first two takes the transaction back;
// one from AfterCommit is returned in place of the answer, as when the process dies between commit and answer.
type Hooks struct {
	BeforeInsert func() error
	BeforeCommit func() error
	AfterCommit  func() error
	// Worked hears of each commit what the write lock was held for: entries read and folded, and keys written.
	Worked func(work int)
	// Summed is called between two steps of SumRecords; its error ends it, as when the process dies there.
	Summed func() error
	// Learned is called between two pages of entries that an older build kept unread; its error ends it, as when the process dies there.
	Learned func() error
	// Fold lets the store work as a build of that FoldVersion, which keeps later kinds unread.
	Fold *int
	// Hashed hears of each entry that is hashed for a digest of an earlier position than the head.
	Hashed func()
}

// Store is the server's journal. Its methods are safe for many goroutines.
type Store struct {
	site   Site
	dir    string
	random io.Reader
	hooks  Hooks
	quota  Quota
	// shared is true of a site that other programs serve too.
	shared bool
	// keys are settled by Open and stay as they are.
	keys   keyRing
	wrongs wrongs

	// mu is held by whoever writes; what stands below it is what the writer remembers of the site between pushes.
	mu     sync.Mutex
	memory memory
	epoch  atomic.Pointer[string]
	head   atomic.Int64
	backed atomic.Int64
	// clock is the highest time that was stamped with; told is true while the incident of a clock in doubt is open.
	clock      atomic.Int64
	clockFiled atomic.Bool
	changed    func(head int64)
	// turn is Tx.Turn's of the last batch: when somebody else has written, what is remembered is worthless.
	turn     int64
	headFile *os.File
	marks    digestMarks
	// fold is the FoldVersion of the file, which Open settles.
	fold int
	// epochBegan is when a phone's proof last made an epoch begin, toldAhead when the desk was last told of a device that
	// had none.
	epochBegan    time.Time
	rollbackFiled map[string]time.Time
	// own is held while the server writes entries itself, which number themselves; ownInc is this program's incarnation in an epoch of a shared site.
	own         sync.Mutex
	ownInc      int
	ownEpoch    string
	clocks      clock
	elsewhereOf elsewhere
	arrivals    arrivals
}

// Open takes up the journal at o.Site. Where it is not the one that was last used here (a restored backup), it
// begins a new epoch.
func Open(ctx context.Context, o Options) (*Store, error) {
	if o.Now == nil {
		o.Now = time.Now
		if o.Mono == nil {
			o.Mono = monotonic()
		}
	}
	wall := func() int64 { return o.Now().UnixMilli() }
	if o.Mono == nil {
		o.Mono = wall
	}
	if o.Random == nil {
		o.Random = rand.Reader
	}
	if o.Quota == (Quota{}) {
		o.Quota = DefaultQuota
	}
	s := &Store{
		site: o.Site, dir: o.Dir, clocks: clock{wall: wall, mono: o.Mono, phones: map[string]voice{}}, random: o.Random, hooks: o.Hooks, quota: o.Quota, shared: o.Shared,
		memory: newMemory(), changed: func(int64) {}, rollbackFiled: map[string]time.Time{},
	}
	if err := s.site.Prepare(ctx); err != nil {
		return nil, err
	}
	if o.Beside {
		s.clocks.anchor(s.clocks.wall(), s.clocks.mono())
		return s, errors.Join(s.load(ctx), s.presentEpoch(ctx))
	}
	// The head file is read before the site: a note that comes in between makes the site's number the larger
	// one, which proves nothing. The other way round it would look like a loss.
	lastHead, err := s.headBeside()
	if err != nil {
		return nil, err
	}
	if err := s.load(ctx); err != nil {
		return nil, err
	}
	if s.Head() == 0 && lastHead > 0 && !o.StartEmpty {
		if o.Shared {
			return nil, emptiedSite(o.Dir, lastHead)
		}
		return nil, emptied(o.Dir, lastHead)
	}
	if err := s.settleKeys(ctx); err != nil {
		return nil, err
	}
	if err := s.settleEpoch(ctx, lastHead, o); err != nil {
		return nil, err
	}
	if err := s.lookAtClock(ctx); err != nil {
		return nil, err
	}
	if err := s.learnKinds(ctx); err != nil {
		return nil, err
	}
	return s, nil
}

// Close lets the journal's own file go; the site is its opener's to close.
func (s *Store) Close() error {
	if s.headFile == nil {
		return nil
	}
	return s.headFile.Close()
}

// OnChange sets who is told that the journal has grown, or that its epoch has changed. It is called after each
// commit, without a lock.
func (s *Store) OnChange(f func(head int64)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.changed = f
}

// Head is the position of the last merged entry.
func (s *Store) Head() int64 { return s.head.Load() }

// Epoch names the line of history that the journal is on; it changes when a backup is restored.
func (s *Store) Epoch() string { return *s.epoch.Load() }

// BackedUpTo is the position up to which the last backup covers the journal.
func (s *Store) BackedUpTo() int64 { return s.backed.Load() }

// NowMS is the server's time in milliseconds since 1970, never less than any time that it has stamped with.
func (s *Store) NowMS() int64 { return max(s.clocks.now(), s.clock.Load()) }

// passedMS is the newest time (in ms since 1970) that is sure to have passed. Phones receive this one: they write it into
// their notes as a time before which those cannot have been made, and a clock that is put right later would make it a lie.
func (s *Store) passedMS() int64 { return max(s.clocks.passed(), s.clock.Load()) }

func (s *Store) load(ctx context.Context) error {
	return s.site.Read(ctx, func(snap Snap) error {
		if err := s.refuseNewer(snap); err != nil {
			return err
		}
		at, err := timeIn(snap, metaClock)
		if err != nil {
			return err
		}
		s.clock.Store(at)
		return s.loadFrom(snap)
	})
}

// loadFrom reads where the journal stands.
func (s *Store) loadFrom(snap Snap) error {
	head, err := snap.Head()
	if err != nil {
		return err
	}
	raise(&s.head, head)
	return s.loadBackedUp(snap)
}

// loadBackedUp reads how far the last backup reaches, which another program may have made. One that reaches past the
// head is of the history before a restore.
func (s *Store) loadBackedUp(snap Snap) error {
	value, err := snap.Setting(metaBackedUpTo)
	if err != nil {
		return err
	}
	to, _ := strconv.ParseInt(value, 10, 64)
	s.backed.Store(min(to, s.head.Load()))
	return nil
}

// heedOthers forgets what is remembered when somebody else has written.
func (s *Store) heedOthers(tx Tx) error {
	turn, err := tx.Turn()
	if err != nil || turn == s.turn {
		return err
	}
	s.turn, s.memory = turn, newMemory()
	if err := s.heedShared(tx); err != nil {
		return err
	}
	return s.loadFrom(tx)
}

// raise lifts a mark that never falls.
func raise(mark *atomic.Int64, to int64) {
	for old := mark.Load(); to > old && !mark.CompareAndSwap(old, to); old = mark.Load() {
	}
}

const (
	metaClock      = "clock"
	metaClockWas   = "clock_was"
	metaClockFirst = "clock_first"
	metaBackedUpTo = "backed_up_to"
	metaBackedUpAt = "backed_up_at"
	metaOwnDevice  = "own_device"
	metaOwnInc     = "own_inc"
	metaKeys       = "receipt_keys"
	metaProvenLost = "proven_lost"
)

// NewID draws an id for a person, lot or other thing.
func (s *Store) NewID() (string, error) { return s.hexID(16) }

// hexID is n random bytes in hexadecimal digits.
func (s *Store) hexID(n int) (string, error) {
	b := make([]byte, n)
	if _, err := io.ReadFull(s.random, b); err != nil {
		return "", fmt.Errorf("draw a random id: %w", err)
	}
	return hex.EncodeToString(b), nil
}

func call(hook func() error) error {
	if hook == nil {
		return nil
	}
	return hook()
}
