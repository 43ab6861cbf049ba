package journal

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"bedwalk/server/db"
)

// These lie beside the database and are in no backup: where they disagree with it, the database is not the one that
// was last used here. SidecarFile has the history of epochs; HeadFile the head after each commit, which finds a backup
// of the present epoch that was copied back by hand.
const (
	SidecarFile = "epochs.json"
	HeadFile    = "head"
)

// Epoch is one line of history. ForkedAt is the last position that it shares with its parent.
type Epoch struct {
	Epoch    string `json:"epoch"`
	Parent   string `json:"parent"`
	ForkedAt int64  `json:"forked_at"`
	BeganAt  int64  `json:"began_at"`
}

// ErrEmptied says that the database has no note, or is not there, although the files beside it tell of some. To go on
// would begin an empty nursery without anybody having asked for it.
var ErrEmptied = errors.New("the notes of this nursery are gone")

// emptied takes the head that is known of, 0 where only that there was one.
func emptied(dir string, head int64) error {
	before := "some"
	if head > 0 {
		before = strconv.FormatInt(head, 10)
	}
	return fmt.Errorf("%w: %s has no notes, but %s stood there when it was last used. Put the newest backup back "+
		"(bedwalk restore --data %s --from FILE), or a copy of %s that you have; phones then send what is missing. "+
		"If the notes lie in PostgreSQL, name it with --store. "+
		"If you want to begin without them, start once with --start-empty", ErrEmptied, filepath.Join(dir, db.File), before, dir, db.File)
}

// emptiedSite is emptied of a site that is elsewhere.
func emptiedSite(dir string, head int64) error {
	return fmt.Errorf("%w: the database has none of this nursery, but %d stood there when it was last served from %s. See that --store and --site name the right one, "+
		"or put the database back from its backup; phones then send what is missing. If you want to begin without them, start once with --start-empty", ErrEmptied, head, dir)
}

// CheckBeside looks at a data folder before a database is made in it. Where there is none, but the files beside it tell
// of notes, it returns ErrEmptied.
func CheckBeside(dir string) error {
	if info, err := os.Stat(filepath.Join(dir, db.File)); err == nil && info.Size() > 0 {
		return nil
	}
	if rescued, err := filepath.Glob(filepath.Join(dir, db.RescuedFiles)); err != nil || len(rescued) > 0 {
		return errors.Join(err, fmt.Errorf("%w from %s, but a running server saved them: put them back with "+
			"bedwalk restore --data %s --from %s", ErrEmptied, filepath.Join(dir, db.File), dir, slices.Max(rescued)))
	}
	head, known, err := readHead(filepath.Join(dir, HeadFile))
	if err == nil && !known {
		// Without its word, a history of epochs says that there was something.
		var beside []Epoch
		if beside, err = readSidecar(dir); len(beside) > 0 {
			return emptied(dir, 0)
		}
	}
	if err == nil && head > 0 {
		return emptied(dir, head)
	}
	return err
}

// readHead reads a head file. Known is false where there is none, or no number in it.
func readHead(path string) (head int64, known bool, err error) {
	raw, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return 0, false, fmt.Errorf("read the head file: %w", err)
	}
	head, err = strconv.ParseInt(strings.TrimSpace(string(raw)), 10, 64)
	return head, err == nil, nil
}

// presentEpoch takes the epoch from the database, for a store that begins none.
func (s *Store) presentEpoch(ctx context.Context) error {
	inside, err := s.epochs(ctx)
	if err != nil {
		return err
	}
	name := ""
	if len(inside) > 0 {
		name = inside[len(inside)-1].Epoch
	}
	s.epoch.Store(&name)
	return nil
}

// settleEpoch compares the database with its sidecar and begins an epoch when they differ. The sidecar's history is
// joined to the database's, so that devices of epochs that the restored file never knew can still be told their fork
// point.
func (s *Store) settleEpoch(ctx context.Context, lastHead int64, o Options) error {
	beside, err := readSidecar(s.dir)
	if err != nil {
		return err
	}
	inside, err := s.epochs(ctx)
	if err != nil {
		return err
	}
	if !o.Replaced && len(inside) > 0 {
		present, last := inside[len(inside)-1].Epoch, ""
		if len(beside) > 0 {
			last = beside[len(beside)-1].Epoch
		}
		switch {
		case last == present && lastHead <= s.Head():
			s.epoch.Store(&present)
			return nil
		// Another server, with a folder of its own, may have begun the present epoch.
		case o.Shared && (last == "" || slices.ContainsFunc(inside[:len(inside)-1], func(e Epoch) bool { return e.Epoch == last })):
			s.epoch.Store(&present)
			return errors.Join(writeSidecar(s.dir, inside), s.noteHead(s.Head()))
		}
	}
	if len(inside) > 0 {
		if err := s.File(ctx, "", "backup_restored", fmt.Sprintf(
			"The database is %s and ends at position %d. Phones send again what it does not have.", restored(o.Replaced), s.Head())); err != nil {
			return err
		}
	}
	return s.beginEpoch(ctx, beside)
}

func restored(replaced bool) string {
	if replaced {
		return "another than was last served (it was restored or moved, or a standby took over)"
	}
	return "a restored backup"
}

// beginEpoch starts a new line of history at the present head. The sidecar is written first: a crash between the two
// leaves them different, and the next start begins one epoch more, which harms nobody.
func (s *Store) beginEpoch(ctx context.Context, beside []Epoch) error {
	name, err := s.hexID(8)
	if err != nil {
		return err
	}
	inside, err := s.epochs(ctx)
	if err != nil {
		return err
	}
	all := join(inside, beside)
	fresh := Epoch{Epoch: name, ForkedAt: s.Head(), BeganAt: s.NowMS()}
	if len(inside) > 0 {
		fresh.Parent = inside[len(inside)-1].Epoch
	}
	all = append(all, fresh)
	all = all[max(0, len(all)-maxEpochs):]
	if err := writeSidecar(s.dir, all); err != nil {
		return err
	}
	if err := s.site.Write(ctx, func(tx Tx) error { return errors.Join(tx.PutEpochs(all), tx.Set(metaOwnInc, "")) }); err != nil {
		return err
	}
	s.memory = newMemory()
	s.epoch.Store(&name)
	return s.noteHead(s.Head())
}

// headBeside opens the head file and reads it; 0 where it cannot be read.
func (s *Store) headBeside() (head int64, err error) {
	path := filepath.Join(s.dir, HeadFile)
	if s.headFile, err = os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o640); err != nil {
		return 0, fmt.Errorf("open the head file: %w", err)
	}
	head, _, err = readHead(path)
	return head, err
}

// noteHead writes the head beside the database, after the commit that reached it. It is not forced to the disk: an
// older number than the database's proves nothing, and is harmless.
func (s *Store) noteHead(head int64) error {
	_, err := s.headFile.WriteAt([]byte(fmt.Sprintf("%019d\n", head)), 0)
	return err
}

func (s *Store) epochs(ctx context.Context) (all []Epoch, err error) {
	err = s.site.Read(ctx, func(snap Snap) error {
		all, err = snap.Epochs()
		return err
	})
	return all, err
}

// KnowsEpoch says whether an epoch is one of this journal's, as far back as they are remembered.
func (s *Store) KnowsEpoch(ctx context.Context, epoch string) (bool, error) {
	all, err := s.epochs(ctx)
	return slices.ContainsFunc(all, func(e Epoch) bool { return e.Epoch == epoch }), err
}

// forkPoint is the last position that a device of some epoch shares with the present one: 0 for an epoch that nobody
// here has heard of.
func (s *Store) forkPoint(ctx context.Context, epoch string) (point int64, err error) {
	all, err := s.epochs(ctx)
	if err != nil {
		return 0, err
	}
	return common(all, epoch, s.Epoch(), s.Head()), nil
}

// common is the last position that an epoch shares with the present one, which ends at head.
func common(all []Epoch, epoch, present string, head int64) (point int64) {
	here := shared(all, present, head)
	for name, upTo := range shared(all, epoch, math.MaxInt64) {
		if both, ok := here[name]; ok {
			point = max(point, min(upTo, both))
		}
	}
	return point
}

// shared says of an epoch and each of its ancestors how far it has their history.
func shared(all []Epoch, epoch string, upTo int64) map[string]int64 {
	byName := make(map[string]Epoch, len(all))
	for _, e := range all {
		byName[e.Epoch] = e
	}
	far := map[string]int64{}
	for e, ok := byName[epoch]; ok; e, ok = byName[e.Parent] {
		far[e.Epoch] = upTo
		upTo = min(upTo, e.ForkedAt)
	}
	return far
}

// epochEvery is how often at most a running server begins an epoch because a phone proves that it was set back. In
// between such a phone is led back within the epoch, which costs it nothing: that the server lacks something of it, or of
// others, it also knows by how many of its notes are acknowledged, by the places that they get, and by the sums.
const epochEvery = time.Hour

// detectRollback answers a device that was at a position past the head in the present epoch. With proof that this journal once
// had an entry there, the journal was set back while its sidecar stayed (a whole disk put back), and a new epoch begins.
// A proof of what was known to be lost already says nothing new. Without proof anybody can name any position, and
// nothing begins.
func (s *Store) detectRollback(ctx context.Context, device string, cursor int64, proof string) error {
	if !s.keys.provesCursor(cursor, proof) {
		return s.fileAhead(ctx, device, cursor)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	now := time.UnixMilli(s.clocks.mono())
	if cursor <= s.Head() || !s.epochBegan.IsZero() && now.Sub(s.epochBegan) < epochEvery {
		return nil
	}
	known, err := s.provenLost(ctx)
	if err != nil || cursor <= known {
		return err
	}
	if err := s.File(ctx, device, "journal_lost_entries", fmt.Sprintf(
		"A phone was at position %d, but the journal ends at %d: it was set back. Phones send again what it does not have.",
		cursor, s.Head())); err != nil {
		return err
	}
	beside, err := readSidecar(s.dir)
	if err != nil {
		return err
	}
	if err := s.beginEpoch(ctx, beside); err != nil {
		return err
	}
	s.epochBegan = now
	return s.site.Write(ctx, func(tx Tx) error { return tx.Set(metaProvenLost, strconv.FormatInt(cursor, 10)) })
}

// provenLost is the highest position at which a phone has proved that something was lost.
func (s *Store) provenLost(ctx context.Context) (position int64, err error) {
	err = s.site.Read(ctx, func(snap Snap) error {
		value, err := snap.Setting(metaProvenLost)
		position, _ = strconv.ParseInt(value, 10, 64)
		return err
	})
	return position, err
}

// fileAhead tells the desk of a phone that names a position past the end, at most once a minute: each is a write.
func (s *Store) fileAhead(ctx context.Context, device string, cursor int64) error {
	s.mu.Lock()
	now := time.UnixMilli(s.clocks.mono())
	told := now.Sub(s.rollbackFiled[device]) < time.Minute
	if !told {
		s.rollbackFiled[device] = now
	}
	s.mu.Unlock()
	if told {
		return nil
	}
	return s.File(ctx, device, "cursor_unproven", fmt.Sprintf(
		"A phone asked for what comes after position %d, but the journal ends at %d, and the phone could not show that it was ever longer. "+
			"It was sent back to the end; it sends again what it wrote itself.", cursor, s.Head()))
}

// maxEpochs is how many epochs are remembered. A device of one that was forgotten reads the journal from its beginning:
// no fork point can come out too high for want of an ancestor, only too low.
const maxEpochs = 64

// join is a's history followed by what only b knows.
func join(a, b []Epoch) []Epoch {
	known := make(map[string]bool, len(a))
	for _, e := range a {
		known[e.Epoch] = true
	}
	all := append([]Epoch(nil), a...)
	for _, e := range b {
		if !known[e.Epoch] {
			all = append(all, e)
		}
	}
	return all
}

// Strangers is true where two folders have a SidecarFile, and no epoch is in both.
func Strangers(a, b string) (bool, error) {
	ofA, err := readSidecar(a)
	if err != nil {
		return false, err
	}
	ofB, err := readSidecar(b)
	if err != nil {
		return false, err
	}
	return len(ofA) > 0 && len(ofB) > 0 && len(join(ofA, ofB)) == len(ofA)+len(ofB), nil
}

func readSidecar(dir string) ([]Epoch, error) {
	path := filepath.Join(dir, SidecarFile)
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", path, err)
	}
	var all []Epoch
	if err := json.Unmarshal(raw, &all); err != nil {
		// Unreadable is as good as absent: a new epoch is always safe.
		return nil, nil
	}
	return all, nil
}

func writeSidecar(dir string, all []Epoch) error {
	raw, err := json.MarshalIndent(all, "", "  ")
	if err != nil {
		return err
	}
	return db.WriteFile(filepath.Join(dir, SidecarFile), append(raw, '\n'))
}
