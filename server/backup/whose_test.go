package backup_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bedwalk/server/backup"
	"bedwalk/server/testphone"
)

func TestTwoNurseriesDoNotKeepTheirBackupsAtOnePlace(t *testing.T) {
	bucket, _ := store(t)
	for name, to := range map[string]backup.Place{"a bucket": bucket, "a folder": backup.Folder(t.TempDir())} {
		t.Run(name, func(t *testing.T) {
			first, second := open(t, testphone.Ready(t)), open(t, testphone.Ready(t))
			var made backup.Made
			for hour := range 2 {
				var err error
				if made, err = backup.Save(t.Context(), first.db, first.store, to, nil, now.Add(time.Duration(hour)*time.Hour)); err != nil {
					t.Fatal(err)
				}
			}
			if _, err := backup.Save(t.Context(), second.db, second.store, to, nil, now.Add(3*time.Hour)); !errors.Is(err, backup.ErrAnother) {
				t.Errorf("of another nursery: %v", err)
			}
			if left, _ := filepath.Glob(filepath.Join(second.dir, "*.half*")); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
			// The first nursery's machine is lost, and another goes on with its backup.
			work, data := t.TempDir(), testphone.Folder(t)
			at, newest, err := backup.Find(t.Context(), to.At(""), func(string) (backup.Place, error) { return to, nil })
			if err != nil || to.At(newest) != made.Path {
				t.Fatalf("the newest is %q, %v", newest, err)
			}
			file, err := backup.Fetch(t.Context(), at, newest, nil, work, data)
			if err != nil {
				t.Fatal(err)
			}
			if _, _, err := backup.Restore(t.Context(), data, file, now); err != nil {
				t.Fatal(err)
			}
			again := open(t, data)
			if _, err := backup.Save(t.Context(), again.db, again.store, to, nil, now.Add(4*time.Hour)); err != nil {
				t.Errorf("of the nursery restored: %v", err)
			}
		})
	}
}

// What else lies in the folder of pictures, what was damaged there, and an earlier key: none of it may keep a backup from being restored.
func TestThePicturesOfAPlaceDoNotKeepItsBackupFromBeingFetched(t *testing.T) {
	before, earlier := keyOf(t)
	keys, file := keyOf(t)
	s, p := open(t, testphone.Ready(t)), testphone.New("a")
	p.Plant()
	s.push(p.All(1))
	leaf := s.picture("leaf")
	folder := backup.Folder(t.TempDir())
	for hour, each := range []backup.Keys{before, keys} {
		if _, err := backup.Save(t.Context(), s.db, s.store, folder, each, now.Add(time.Duration(hour)*time.Hour)); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"README.txt", "..x", leaf + ".half.age"} {
		if err := os.WriteFile(folder.At(backup.PhotosDir+"/"+name), []byte("no picture"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	at, newest, err := backup.Find(t.Context(), string(folder), func(string) (backup.Place, error) { return folder, nil })
	if err != nil {
		t.Fatal(err)
	}
	fetch := func(key string) error {
		secrets, err := backup.ReadSecrets(key)
		if err != nil {
			t.Fatal(err)
		}
		work := t.TempDir()
		_, err = backup.Fetch(t.Context(), at, newest, secrets, work, work)
		return err
	}
	if err := fetch(file); !errors.Is(err, backup.ErrOtherKey) || !strings.Contains(err.Error(), "one file with the lines of both keys") {
		t.Errorf("with the present key alone: %v", err)
	}
	both := filepath.Join(t.TempDir(), "both.key")
	var lines []byte
	for _, one := range []string{earlier, file} {
		raw, err := os.ReadFile(one)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, raw...)
	}
	if err := os.WriteFile(both, lines, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := fetch(both); err != nil {
		t.Errorf("with both keys: %v", err)
	}
	picture := folder.At(backup.PhotosDir + "/" + leaf[:2] + "/" + leaf + ".age")
	if err := os.Truncate(picture, 250); err != nil {
		t.Fatal(err)
	}
	if err := fetch(both); !errors.Is(err, backup.ErrUnsealed) || !strings.Contains(err.Error(), picture+" is damaged: delete it there") {
		t.Errorf("with a damaged picture: %v", err)
	}
	if err := os.Remove(picture); err != nil {
		t.Fatal(err)
	}
	if err := fetch(file); err != nil {
		t.Errorf("without it: %v", err)
	}
}
