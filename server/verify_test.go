package main

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/backup"
	"bedwalk/server/db"
)

// filesOf are the files of a folder by name, with the hash of each. The index of SQLite's log is shared memory: a running
// server writes it, and readers leave their marks in it; that it is there counts, not what is in it.
func filesOf(t *testing.T, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range entries {
		all[one.Name()] = ""
		if raw, err := os.ReadFile(filepath.Join(folder, one.Name())); err == nil && !strings.HasSuffix(one.Name(), "-shm") {
			all[one.Name()] = fmt.Sprintf("%x", sha256.Sum256(raw))
		}
	}
	return all
}

func TestVerifyLeavesTheFolderAsItFoundIt(t *testing.T) {
	data, p := serving(t)
	check := func(when string) {
		t.Helper()
		before := filesOf(t, data)
		if err := (&verifyCommand{nurseryFlag: inFolder(data)}).Run(t.Context()); err != nil {
			t.Errorf("%s: %v", when, err)
		}
		if after := filesOf(t, data); !maps.Equal(before, after) {
			t.Errorf("%s: the folder was\n%v\nand is\n%v", when, before, after)
		}
	}
	check("beside a running server")
	log, err := os.ReadFile(filepath.Join(data, db.File+"-wal"))
	if err != nil || len(log) == 0 {
		t.Fatalf("there is no log beside the running server: %v", err)
	}
	file, err := os.ReadFile(filepath.Join(data, db.File))
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(data, db.File+"-wal")); err == nil {
		t.Fatal("the log is still there: this tries nothing")
	}
	check("after the server has ended")
	// As in a copy of a killed server's folder: a log that nobody has written back.
	for name, raw := range map[string][]byte{db.File: file, db.File + "-wal": log} {
		if err := os.WriteFile(filepath.Join(data, name), raw, 0o640); err != nil {
			t.Fatal(err)
		}
	}
	check("with a log that nobody uses")
}

func TestVerifySaysWhereTheFilesBesideTheDatabaseDifferFromIt(t *testing.T) {
	data, p := serving(t)
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	differences := func() (string, error) {
		t.Helper()
		d, err := db.OpenUntouched(filepath.Join(data, db.File))
		if err != nil {
			t.Fatal(err)
		}
		defer d.Close()
		all, err := backup.Differences(t.Context(), d)
		return strings.Join(all, "\n"), err
	}
	if said, err := differences(); said != "" || err != nil {
		t.Fatalf("of a folder that is in order it says %q, %v", said, err)
	}
	key := strings.Repeat("ab", 32) + "\n"
	for _, one := range []struct {
		file, text, want string
	}{
		{"epochs.json", "-", "epochs.json is not there"},
		{"epochs.json", "{", "epochs.json cannot be read"},
		{"epochs.json", `[{"epoch":"0123456789abcdef","parent":"","forked_at":0,"began_at":1}]`, "not in the same epoch"},
		{"head", "0000000000000000999\n", "head says 999, and the journal ends at 8"},
		{"receipt.keys", key, "the database lacks 1 of the keys in receipt.keys"},
		{"receipt.keys", key, "receipt.keys lacks 1 of the keys in the database"},
		{"receipt.keys", "-", "receipt.keys lacks 1 of the keys in the database"},
		{"receipt.keys", "nonsense\n", "receipt.keys cannot be read in full"},
		{"revoked.json", `[{"device":"` + strings.Repeat("d", 16) + `","name":"lost","at":1,"by":""}]`, ""},
	} {
		path := filepath.Join(data, one.file)
		was, err := os.ReadFile(path)
		there := err == nil
		if one.text == "-" {
			err = os.Remove(path)
		} else {
			err = os.WriteFile(path, []byte(one.text), 0o640)
		}
		if err != nil {
			t.Fatal(err)
		}
		said, err := differences()
		if err != nil || !strings.Contains(said, one.want) || (said == "") != (one.want == "") {
			t.Errorf("%s as %q: it says %q, %v, want %q", one.file, one.text, said, err, one.want)
		}
		if there {
			err = os.WriteFile(path, was, 0o640)
		} else {
			err = os.Remove(path)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(data, "revoked.json"), []byte("{"), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := (&verifyCommand{nurseryFlag: inFolder(data)}).Run(t.Context()); err == nil || !strings.Contains(err.Error(), "revoked.json cannot be read") {
		t.Errorf("a list of revoked phones that cannot be read: %v", err)
	}
}
