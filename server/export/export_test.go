package export_test

import (
	"bufio"
	"crypto/sha256"
	"database/sql"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/export"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
	canonical "bedwalk/sync/journal"
)

// nursery is a small one with a lot, a pot seen and struck out, and words that a spreadsheet would run.
func nursery(t *testing.T) (from export.Source, phone *testphone.Phone, n testphone.Nursery, d *db.DB) {
	t.Helper()
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(testphone.Ready(t), db.File)})
	if err != nil {
		t.Fatal(err)
	}
	store, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close(); d.Close() })
	phone = testphone.New("a")
	n = phone.Plant()
	o := n.Pot(3, 2, 200, 40)
	o.Words, o.RootCover = "=1+1, \"quoted\"\nsecond line", nil
	struck := phone.Note("observation", n.Lot, n.Bed, o)
	phone.Note("void", n.Lot, n.Bed, schema.Void{Names: struck, Records: []string{"pot:" + struck}, Why: "wrong_pot"})
	if _, err := store.Push(t.Context(), phone.All(1), journal.Sender{Device: "a"}); err != nil {
		t.Fatal(err)
	}
	return export.Source{
		Journal: store, Pots: view.New(store, access.New(access.Options{Store: lite.Access(d), Dir: d.Dir()})), Build: "test",
		Photos: func(to string) (int, error) { return 0, os.Mkdir(to, 0o750) },
	}, phone, n, d
}

func all(t *testing.T) (folder string, made export.Made, phone *testphone.Phone, n testphone.Nursery) {
	t.Helper()
	from, phone, n, _ := nursery(t)
	folder = filepath.Join(t.TempDir(), "out")
	made, err := export.All(t.Context(), from, folder, time.Unix(1_800_000_000, 0))
	if err != nil {
		t.Fatal(err)
	}
	return folder, made, phone, n
}

func table(t *testing.T, folder, name string) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s is no CSV: %v", name, err)
	}
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, cell := range line {
			row[lines[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

func TestEveryNoteIsInTheExactFileToTheByte(t *testing.T) {
	folder, made, phone, _ := all(t)
	f, err := os.Open(filepath.Join(folder, "notes.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sent := phone.All(1).Entries
	lines := 0
	for scan := bufio.NewScanner(f); scan.Scan(); lines++ {
		var line struct {
			Entry    json.RawMessage
			Position int64
		}
		if err := json.Unmarshal(scan.Bytes(), &line); err != nil {
			t.Fatal(err)
		}
		// Canonical bytes (RFC 8785) of what stands there are those that the phone hashed and sent.
		again, err := canonical.Canonical(line.Entry)
		if err != nil || string(again) != string(sent[lines]) || line.Position != int64(lines+1) {
			t.Fatalf("line %d is %s, not %s: %v", lines+1, again, sent[lines], err)
		}
	}
	if lines != len(sent) || made.Notes != lines {
		t.Errorf("%d lines and %d said for %d notes", lines, made.Notes, len(sent))
	}
}

// More than are read at once: what comes after them is exported all the same.
func TestNotesAfterALongStretchThatCannotBeReadAreExported(t *testing.T) {
	from, phone, n, d := nursery(t)
	first := len(phone.Raw) + 1
	for i := range 2100 {
		phone.See(n, 1+i%10, 1+i%5, 200, 40)
	}
	if _, err := from.Journal.(*journal.Store).Push(t.Context(), phone.All(first), journal.Sender{Device: "a"}); err != nil {
		t.Fatal(err)
	}
	lost := len(phone.Raw) - 5
	if err := d.Write(t.Context(), func(tx *sql.Tx) error {
		_, err := tx.Exec("update notes set body = 'x' where position <= ?", lost)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	made, err := export.All(t.Context(), from, filepath.Join(t.TempDir(), "out"), time.Unix(1_800_000_000, 0))
	if err != nil || made.Notes != 5 {
		t.Errorf("%d of the 5 notes that can be read were exported: %v", made.Notes, err)
	}
}

func TestTablesSayWhatStandsNowAndRunNothing(t *testing.T) {
	folder, _, _, n := all(t)
	lots := table(t, folder, "now/lot.csv")
	if len(lots) != 1 || lots[0]["id"] != n.Lot || lots[0]["tag"] == "" || lots[0]["apart"] != "" {
		t.Errorf("lots: %v", lots)
	}
	pots := table(t, folder, "pots.csv")
	if len(pots) != 1 || pots[0]["struck_out"] != "yes" || pots[0]["root_cover"] != "" || pots[0]["head_a_mm"] != "200" {
		t.Errorf("pots: %v", pots)
	}
	seen := table(t, folder, "notes/observation.csv")
	if len(seen) != 1 || !strings.HasPrefix(seen[0]["words"], "'=1+1") || seen[0]["lot"] != n.Lot || seen[0]["body_lot"] != n.Lot || seen[0]["place"] != `{"across":2,"row":3}` {
		t.Errorf("notes of pots: %v", seen)
	}
	if voids := table(t, folder, "notes/void.csv"); len(voids) != 1 || voids[0]["names"] != seen[0]["id"] || voids[0]["why"] != "wrong_pot" {
		t.Errorf("voids: %v", voids)
	}
}

func TestTheDictionaryHasEveryColumnOfEveryTableOfNotes(t *testing.T) {
	folder, _, _, _ := all(t)
	said := map[string]map[string]string{}
	for _, row := range table(t, folder, "dictionary.csv") {
		if said[row["file"]] == nil {
			said[row["file"]] = map[string]string{}
		}
		said[row["file"]][row["column"]] = row["value"]
	}
	files, err := filepath.Glob(filepath.Join(folder, "notes", "*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatalf("%v, %v", files, err)
	}
	for _, file := range files {
		name := "notes/" + filepath.Base(file)
		for column := range table(t, folder, name)[0] {
			if _, found := said[name][column]; !found {
				t.Errorf("%s does not say what %s is", name, column)
			}
		}
	}
	if have := said["notes/observation.csv"]["head_a_mm"]; have != "integer 5 to 2000" {
		t.Errorf("a head is said to be %q", have)
	}
}

func TestTheSumsAreThoseOfTheFiles(t *testing.T) {
	folder, _, _, _ := all(t)
	raw, err := os.ReadFile(filepath.Join(folder, "SHA256SUMS"))
	if err != nil {
		t.Fatal(err)
	}
	count := 0
	for line := range strings.Lines(string(raw)) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), "  ")
		bytes, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		if have := sha256.Sum256(bytes); hex.EncodeToString(have[:]) != sum {
			t.Errorf("%s has another sum", name)
		}
		count++
	}
	if count < 10 {
		t.Errorf("only %d files have a sum", count)
	}
}

func TestAnExportThatBreaksOffHasNoNameAndTheNextBeginsAgain(t *testing.T) {
	from, _, _, _ := nursery(t)
	folder := filepath.Join(t.TempDir(), "out")
	whole := from.Photos
	from.Photos = func(string) (int, error) { return 0, errors.New("the disk is full") }
	if _, err := export.All(t.Context(), from, folder, time.Now()); err == nil || !strings.Contains(err.Error(), "the disk is full") {
		t.Fatalf("got %v", err)
	}
	if _, err := os.Stat(folder); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("half an export has its name: %v", err)
	}
	from.Photos = whole
	if _, err := export.All(t.Context(), from, folder, time.Now()); err != nil {
		t.Error(err)
	}
	if _, err := export.All(t.Context(), from, folder, time.Now()); !errors.Is(err, export.ErrThere) {
		t.Errorf("over an export that is there: %v", err)
	}
}
