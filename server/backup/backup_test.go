package backup_test

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

var now = time.Date(2026, 11, 25, 7, 15, 0, 0, time.UTC)

// shop is an open data folder.
type shop struct {
	*testing.T
	dir   string
	db    *db.DB
	store *journal.Store
}

func open(t *testing.T, dir string) *shop {
	t.Helper()
	d, err := db.Open(context.Background(), db.Options{Path: filepath.Join(dir, db.File)})
	if err != nil {
		t.Fatal(err)
	}
	store, err := journal.Open(context.Background(), journal.Options{Site: lite.Journal(d), Dir: d.Dir()})
	if err != nil {
		t.Fatal(err)
	}
	s := &shop{t, dir, d, store}
	t.Cleanup(s.close)
	return s
}

func (s *shop) close() {
	s.store.Close()
	s.db.Close()
}

func (s *shop) push(p schema.Push) schema.PushAnswer {
	s.Helper()
	answer, err := s.store.Push(s.Context(), p, journal.Sender{Device: p.Device})
	if err != nil {
		s.Fatal(err)
	}
	return answer
}

func (s *shop) backup(folder string, at time.Time) backup.Made {
	s.Helper()
	made, err := backup.Save(s.Context(), s.db, s.store, backup.Folder(folder), nil, at)
	if err != nil {
		s.Fatal(err)
	}
	return made
}

func TestABackupIsCheckedNamedAndReportedToThePhones(t *testing.T) {
	s, p := open(t, testphone.Ready(t)), testphone.New("a")
	n := p.Plant()
	s.push(p.All(1))
	picture := filepath.Join(s.dir, backup.PhotosDir, "ab", "abcd")
	if err := errors.Join(os.MkdirAll(filepath.Dir(picture), 0o750), os.WriteFile(picture, []byte("leaf"), 0o600)); err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(t.TempDir(), "new", "folder")
	made := s.backup(folder, now)
	if made.Position != 8 || made.Photos != 1 || filepath.Base(made.Path) != "bedwalk-20261125-071500.db" {
		t.Fatalf("made %+v", made)
	}
	if s.store.BackedUpTo() != 8 {
		t.Fatalf("backed up to %d", s.store.BackedUpTo())
	}
	p.See(n, 1, 1, 200, 40)
	if answer := s.push(p.All(9)); answer.BackedUpTo != 8 || answer.Head != 9 {
		t.Fatalf("the phone receives %+v", answer)
	}
	if _, err := backup.Save(t.Context(), s.db, s.store, backup.Folder(folder), nil, now); err == nil {
		t.Fatal("a backup was overwritten")
	}
	again := s.backup(folder, now.Add(time.Second))
	if again.Position != 9 || again.Photos != 0 {
		t.Fatalf("made %+v, want the picture to be there already", again)
	}
	left, err := filepath.Glob(filepath.Join(folder, "*.half*"))
	if err != nil || len(left) > 0 {
		t.Fatalf("unfinished files were left: %v", left)
	}
}

func TestOnlyTheOldestBackupsArePruned(t *testing.T) {
	s, p := open(t, testphone.Ready(t)), testphone.New("a")
	p.Plant()
	s.push(p.All(1))
	folder := t.TempDir()
	other := filepath.Join(folder, "somebody's.db")
	if err := os.WriteFile(other, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	var made []string
	for hour := range 5 {
		made = append(made, s.backup(folder, now.Add(time.Duration(hour)*time.Hour)).Path)
	}
	gone, err := backup.Prune(t.Context(), backup.Folder(folder), backup.Rule{Newest: 3})
	if err != nil || !slices.Equal(gone, made[:2]) {
		t.Fatalf("deleted %v, %v; want the oldest two of %v", gone, err, made)
	}
	for _, path := range append(made[2:], other) {
		if _, err := os.Stat(path); err != nil {
			t.Errorf("%s is gone", path)
		}
	}
	if gone, err := backup.Prune(t.Context(), backup.Folder(folder), backup.Rule{Newest: 3}); err != nil || len(gone) > 0 {
		t.Fatalf("deleted %v, %v", gone, err)
	}
}

func TestARestoredBackupIsMadeWholeByThePhones(t *testing.T) {
	data, folder := testphone.Folder(t), t.TempDir()
	s, p := open(t, data), testphone.New("a")
	n := p.Plant()
	s.push(p.All(1))
	made := s.backup(folder, now)
	lost := p.See(n, 1, 1, 200, 40)
	s.push(p.All(9))
	epoch := s.store.Epoch()
	s.close()

	aside, head, err := backup.Restore(t.Context(), data, made.Path, now)
	if err != nil || head != 8 {
		t.Fatalf("restored to %d, %v", head, err)
	}
	if _, err := os.Stat(filepath.Join(aside, db.File)); err != nil {
		t.Fatalf("what was there is gone: %v", err)
	}
	s = open(t, data)
	if s.store.Epoch() == epoch {
		t.Fatal("the restore did not begin an epoch")
	}
	s.push(p.All(9))
	if err := s.store.Read(t.Context(), func(snap *journal.Snapshot) error {
		_, found, err := snap.Record("pot:" + lost)
		if !found {
			t.Error("the note that the backup lacked is lost")
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if found, err := backup.Verify(t.Context(), s.db); err != nil {
		t.Fatalf("%v: %v", err, found.Complaints)
	}
}

func TestABackupThatIsNoneIsNotPutInPlace(t *testing.T) {
	data := t.TempDir()
	s, p := open(t, data), testphone.New("a")
	p.Plant()
	s.push(p.All(1))
	s.close()
	broken := filepath.Join(t.TempDir(), "broken.db")
	if err := os.WriteFile(broken, []byte(strings.Repeat("no database ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{broken, filepath.Join(data, "absent.db")} {
		if _, _, err := backup.Restore(t.Context(), data, file, now); err == nil {
			t.Fatalf("%s was restored", file)
		}
	}
	if s = open(t, data); s.store.Head() != 8 {
		t.Fatalf("the data was touched: head %d", s.store.Head())
	}
}

func TestWhateverWasChangedInTheFileIsFound(t *testing.T) {
	for name, change := range map[string]string{
		"an entry's bytes":        "update notes set body = replace(body, 'T-1', 'T-2')",
		"an entry gone":           "delete from notes where position = 5",
		"a stamp":                 "update notes set at = at + 1 where position = 5",
		"a record":                "update records set json = cast(replace(cast(json as text), 'T-1', 'T-2') as blob)",
		"a digest":                "update digests set count = count + 1",
		"a chain":                 "update writers set chain = zeroblob(32)",
		"where a record is filed": "update records set bed = 0",
		"a record gone":           "delete from records where key like 'lot:%'",
		"a record without cause":  "insert into records (key, lot, bed, changed, json) values ('pot:00000000000000000000000000000000', 0, 0, 1, x'7b7d')",
	} {
		t.Run(name, func(t *testing.T) {
			s, p := open(t, testphone.Ready(t)), testphone.New("a")
			p.Plant()
			s.push(p.All(1))
			if found, err := backup.Verify(t.Context(), s.db); err != nil || found.Entries != 8 || found.Writers != 1 || found.Records != 8 {
				t.Fatalf("before: %+v, %v", found, err)
			}
			if err := s.db.Write(t.Context(), func(tx *sql.Tx) error {
				_, err := tx.Exec(change)
				return err
			}); err != nil {
				t.Fatal(err)
			}
			found, err := backup.Verify(t.Context(), s.db)
			if !errors.Is(err, backup.ErrUnsound) || len(found.Complaints) == 0 {
				t.Fatalf("not found: %+v, %v", found, err)
			}
		})
	}
}
