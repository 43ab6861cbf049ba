package journal_test

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// receipts are those of all entries, by position.
func (b *bench) receipts() (all []string) {
	b.Helper()
	for after, more := int64(0), true; more; {
		page, err := b.store.Pull(context.Background(), "", b.store.Epoch(), after, 0, "")
		if err != nil {
			b.Fatal(err)
		}
		if len(page.Receipts) != len(page.Items)*schema.ReceiptChars {
			b.Fatalf("%d items with receipts %q", len(page.Items), page.Receipts)
		}
		for i := range page.Items {
			all = append(all, page.Receipts[i*schema.ReceiptChars:][:schema.ReceiptChars])
		}
		after, more = page.Head, page.More
	}
	return all
}

// keys are those in the key file.
func (b *bench) keys() []string {
	b.Helper()
	raw, err := os.ReadFile(filepath.Join(b.dir, journal.KeyFile))
	if err != nil {
		b.Fatal(err)
	}
	return strings.Fields(string(raw))
}

func (b *bench) writeKeys(text string) {
	b.Helper()
	if err := os.WriteFile(filepath.Join(b.dir, journal.KeyFile), []byte(text), 0o600); err != nil {
		b.Fatal(err)
	}
}

// exec changes the database behind the store's back.
func (b *bench) exec(query string) {
	b.Helper()
	if err := b.db.Write(context.Background(), func(tx *sql.Tx) error {
		_, err := tx.Exec(query)
		return err
	}); err != nil {
		b.Fatal(err)
	}
}

// losesKeys stops the server, takes the keys out of its database, as in a backup that an earlier release made, and
// does something to the file of keys before it starts again.
func (b *bench) losesKeys(file func()) {
	b.Helper()
	b.exec("delete from meta where name = 'receipt_keys'")
	b.stop()
	file()
	b.start()
}

func TestEachEntryPulledHasAReceiptThatStaysTheSameAndIsItsOwn(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	before := b.receipts()
	seen := map[string]bool{}
	for _, one := range before {
		if seen[one] {
			t.Fatalf("receipts %q", before)
		}
		seen[one] = true
	}
	b.restart()
	if after := b.receipts(); strings.Join(after, " ") != strings.Join(before, " ") {
		t.Fatalf("after a restart they are %q, before %q", after, before)
	}
	info, err := os.Stat(filepath.Join(b.dir, journal.KeyFile))
	if err != nil || info.Mode().Perm() != 0o600 || len(b.keys()) != 1 {
		t.Fatalf("the key file: %v, %v", info, err)
	}
}

func TestTheKeyOutlivesTheLossOfItsFileAndAnOldBackup(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	key, before := b.keys(), b.receipts()
	for name, harm := range map[string]func(){
		"file deleted":              func() { b.stop(); os.Remove(filepath.Join(b.dir, journal.KeyFile)); b.start() },
		"backup of before receipts": func() { b.losesKeys(func() {}) },
	} {
		harm()
		if got := b.keys(); strings.Join(got, " ") != strings.Join(key, " ") || b.receipts()[0] != before[0] {
			t.Errorf("%s: the keys are %q, before %q", name, got, key)
		}
	}
	if n := b.incidents("receipt_key_lost"); n != 0 {
		t.Errorf("%d incidents, though no key was lost", n)
	}
}

func TestKeysOfTheFileAndOfTheDatabaseAreJoinedTheFilesFirst(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	old, before, items := b.keys()[0], b.receipts(), b.pullAll()
	b.stop()
	other := strings.Repeat("5a", 32)
	b.writeKeys(other + "\n")
	b.start()
	if got := b.keys(); strings.Join(got, " ") != other+" "+old {
		t.Fatalf("the keys are %q", got)
	}
	// New receipts are made with the first; those of the other are still believed.
	after := b.receipts()
	if after[7] == before[7] {
		t.Error("the receipt is still of the old key")
	}
	for _, one := range []string{after[7], before[7]} {
		if !b.store.Proves(8, journal.ProofOf(items[7], one)) {
			t.Errorf("%q is not believed", one)
		}
	}
	changed := items[7]
	changed.Stamp.At++
	for what, believed := range map[string]bool{
		"another position":   b.store.Proves(7, journal.ProofOf(items[7], after[7])),
		"another stamp":      b.store.Proves(8, journal.ProofOf(changed, after[7])),
		"another's receipt":  b.store.Proves(8, journal.ProofOf(items[7], after[6])),
		"half a receipt":     b.store.Proves(8, journal.ProofOf(items[7], after[7][:3])),
		"no receipt":         b.store.Proves(8, journal.ProofOf(items[7], "")),
		"nothing":            b.store.Proves(8, ""),
		"no hash":            b.store.Proves(8, after[7]),
		"a hash of no digit": b.store.Proves(8, strings.Repeat("x", 32)+after[7]),
	} {
		if believed {
			t.Errorf("%s is believed", what)
		}
	}
}

func TestALostOrDamagedKeyIsShownToTheSupervisorAndANewOneIsMade(t *testing.T) {
	for name, harm := range map[string]func(*bench){
		"lost":    func(b *bench) { os.Remove(filepath.Join(b.dir, journal.KeyFile)) },
		"damaged": func(b *bench) { b.writeKeys("a3 no key\n") },
		"emptied": func(b *bench) { b.writeKeys("") },
	} {
		t.Run(name, func(t *testing.T) {
			b, p := newBench(t), testphone.New("a")
			p.Plant()
			b.push(p.All(1))
			key := b.keys()[0]
			b.losesKeys(func() { harm(b) })
			if got := b.keys(); len(got) != 1 || len(got[0]) != 64 || got[0] == key {
				t.Fatalf("the keys are %q, before %q", got, key)
			}
			if n := b.incidents("receipt_key_lost"); n != 1 {
				t.Errorf("told %d times", n)
			}
			b.restart()
			if n := b.incidents("receipt_key_lost"); n != 1 {
				t.Errorf("told %d times after another start", n)
			}
		})
	}
}
