package demo_test

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"path/filepath"
	"testing"
	"time"

	"bedwalk/fixtures/nursery"
	"bedwalk/server/db"
	"bedwalk/server/demo"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

// mostBytes is what a note of the demo may take in the file, its share of records and indexes with it.
const mostBytes = 400

func TestTheDemoComesBackToTheByteAndIsShortInTheFile(t *testing.T) {
	today, size := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC), nursery.Size{Beds: nursery.BlockBeds, Seasons: 1}
	n, err := nursery.Make(1, today)
	if err != nil {
		t.Fatal(err)
	}
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(testphone.Folder(t), db.File)})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if err := demo.Fill(t.Context(), d, demo.Options{Seed: 1, Today: today, Size: size}); err != nil {
		t.Fatal(err)
	}
	store, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: func() time.Time { return today }})
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	var pushed []json.RawMessage
	for _, a := range n.Pushes {
		pushed = append(pushed, a.Push.Entries...)
	}
	at := 0
	for more, after := true, int64(0); more; {
		page, err := store.Pull(t.Context(), "d", store.Epoch(), after, journal.MaxPage, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, item := range page.Items {
			if at == len(pushed) || !bytes.Equal(item.Entry, pushed[at]) {
				t.Fatalf("entry %d came back as %s", item.Position, item.Entry)
			}
			at, after = at+1, item.Position
		}
		more = page.More
	}
	if at != len(pushed) {
		t.Fatalf("%d of %d entries came back", at, len(pushed))
	}
	if err := d.Read(t.Context(), func(tx *sql.Tx) error {
		var size, whole int64
		if err := tx.QueryRow("select page_count * page_size from pragma_page_count, pragma_page_size").Scan(&size); err != nil {
			return err
		}
		if err := tx.QueryRow("select count(*) from notes where shape = 0").Scan(&whole); err != nil {
			return err
		}
		each := size / int64(len(pushed))
		t.Logf("%d bytes a note; %d of %d are kept as they came", each, whole, len(pushed))
		if each > mostBytes || whole > 0 {
			t.Errorf("%d bytes a note, at most %d are wanted; %d are kept as they came", each, mostBytes, whole)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}
