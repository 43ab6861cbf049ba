package backup_test

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// notProtected are the columns (or whole tables) of which verify finds no change, each with the reason.
var notProtected = map[string]string{
	"goose_db_version": "which migrations ran; a start with a wrong list fails, or is refused as of a newer build",
	"records.n":        "the order in which records are listed, by which stored scores find their pots; made again whenever the measures change, and restoring a backup keeps it",
	"records.changed":  "from which head on the desk's pages compute a record again",
}

// filled is a data folder with so many notes and with something in every table, closed. There is a mark of the journal's
// order from a thousand notes on.
func filled(t *testing.T, notes int) (folder string) {
	folder = testphone.Folder(t)
	s, a, gone := open(t, folder), testphone.New("a"), testphone.New("b")
	gate := access.New(access.Options{Store: lite.Access(s.db), Dir: s.db.Dir()})
	n := a.Plant()
	for pot := range 30 {
		a.See(n, 1+pot%10, 1+pot%5, 150+pot, 20)
	}
	for len(a.Raw) < notes {
		a.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "dry"})
	}
	first := a.See(n, 2, 2, 200, 40)
	a.Note("void", n.Lot, n.Bed, map[string]any{"of": first, "key": "pot:" + first, "why": "mistake"})
	for from := 1; from <= len(a.Raw); from += 500 {
		s.push(a.Batch(from, min(from+499, len(a.Raw))))
	}
	// A lot that is closed, and was before something touched it.
	closed, day := testphone.ID("closed lot"), "2001-09-01"
	by := []string(nil)
	for range 2 {
		from := len(a.Raw) + 1
		by = []string{a.Note("lot", closed, "", schema.Lot{Writes: schema.Writes{Of: closed, Saw: by}, ShippedOn: &day})}
		a.Note("count", closed, "", schema.Count{Lot: closed, Change: 5, Reason: "potted"})
		a.Note("count", closed, "", schema.Count{Lot: closed, Change: -5, Reason: "shipped"})
		a.Note("note", closed, "", schema.Note{Lot: closed, Words: "gone"})
		s.push(a.All(from))
	}
	// Quarantined: one for a fault, one that waits for its lot; in review: two of a revoked phone.
	a.See(n, 1, 1, 4000, 40)
	other := n
	other.Lot = testphone.ID("not yet here")
	a.See(other, 1, 1, 200, 40)
	s.push(a.All(len(a.Raw) - 1))
	gone.See(n, 1, 1, 200, 40)
	gone.See(n, 1, 2, 200, 40)
	if _, err := s.store.Push(t.Context(), gone.All(1), journal.Sender{Device: "b", Revoked: true}); err != nil {
		t.Fatal(err)
	}
	for _, role := range []string{access.Scout, access.Supervisor, access.Owner} {
		code, _, err := gate.Invite(t.Context(), access.Pairing{Person: a.Person, Name: "Wren", Role: role})
		if err != nil {
			t.Fatal(err)
		}
		d, _, err := gate.Redeem(t.Context(), access.Claim{Code: code, From: "here"})
		if err == nil && role == access.Scout {
			err = gate.Revoke(t.Context(), d.ID, access.Device{ID: "a", Person: a.Person, Role: access.Owner})
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"office", "board"} {
		if _, _, err := gate.MakeKey(t.Context(), access.Reader{Name: name, Table: "pots", MadeBy: a.Person}); err != nil {
			t.Fatal(err)
		}
	}
	told := hooks.New(hooks.Options{DB: hooks.InFile(s.db), Journal: s.store, Beds: func(ctx context.Context) (schema.BedsView, error) {
		return view.New(s.store, gate).Beds(ctx, "")
	}})
	hook, _, err := told.Make(t.Context(), hooks.Hook{Name: "office", URL: "https://localhost:9/", Events: hooks.Events, MadeBy: a.Person})
	if err != nil {
		t.Fatal(err)
	}
	s.push(func() schema.Push {
		a.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "enough"})
		return a.All(len(a.Raw))
	}())
	// Nothing is sent to this machine, which the log says.
	if _, err := told.Test(t.Context(), hook); err != nil {
		t.Fatal(err)
	}
	if err := told.Look(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(s.store.File(t.Context(), "a", "fork", "copied"), s.store.BackedUp(t.Context(), 5), view.New(s.store, gate).Save(t.Context())); err != nil {
		t.Fatal(err)
	}
	s.close()
	return folder
}

// cells are the tables of a file with their columns and keys, as the file itself names them.
func cells(t *testing.T, raw *sql.DB) (tables []string, columns, keys map[string][]string) {
	columns, keys = map[string][]string{}, map[string][]string{}
	rows, err := raw.Query(`select t.name, c.name, c.pk from sqlite_schema t join pragma_table_info(t.name) c
		where t.type = 'table' and t.name not like 'sqlite_%' order by t.name, c.cid`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var table, column string
		var pk int
		if err := rows.Scan(&table, &column, &pk); err != nil {
			t.Fatal(err)
		}
		if columns[table] == nil {
			tables = append(tables, table)
		}
		columns[table] = append(columns[table], column)
		if pk > 0 {
			keys[table] = append(keys[table], column)
		}
	}
	return tables, columns, keys
}

// tampered says whether verify finds what a statement has changed in a copy of a folder; done is false where the file
// itself refuses every one of the statements.
func tampered(t *testing.T, folder string, statements ...string) (found, done bool) {
	t.Helper()
	dir := testphone.Folder(t)
	if err := os.CopyFS(dir, os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	raw, err := sql.Open("sqlite", filepath.Join(dir, db.File))
	if err != nil {
		t.Fatal(err)
	}
	for _, statement := range statements {
		result, err := raw.Exec(statement)
		if err != nil {
			continue
		}
		if n, _ := result.RowsAffected(); n == 1 {
			done = true
			break
		}
	}
	if err := raw.Close(); err != nil {
		t.Fatal(err)
	}
	if !done {
		return false, false
	}
	d, err := db.OpenAsItIs(filepath.Join(dir, db.File))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	_, err = backup.Verify(t.Context(), d)
	if err != nil && !errors.Is(err, backup.ErrUnsound) {
		// A file that cannot even be read is found too.
		t.Logf("%s: %v", statements[0], err)
	}
	return err != nil, true
}

func TestEveryChangedCellAndEveryDeletedRowIsFoundOrListedAsNotProtected(t *testing.T) {
	few, many := filled(t, 40), filled(t, 1010)
	raw, err := sql.Open("sqlite", filepath.Join(few, db.File))
	if err != nil {
		t.Fatal(err)
	}
	tables, columns, keys := cells(t, raw)
	raw.Close()
	if found, done := tampered(t, many, "update meta set value = value where name = 'clock'"); found || !done {
		t.Fatalf("a file that nobody has changed: found %v", found)
	}
	for _, table := range tables {
		if notProtected[table] != "" {
			continue
		}
		folder := few
		if table == "marks" {
			folder = many
		}
		order := strings.Join(keys[table], ", ")
		back := strings.Join(keys[table], " desc, ") + " desc"
		for _, which := range []string{order + " limit 1", back + " limit 1", order + " limit 1 offset 1"} {
			row := fmt.Sprintf("(%s) = (select %s from %s order by %s)", order, order, table, which)
			found, done := tampered(t, folder, fmt.Sprintf("delete from %s where %s", table, row))
			if !done && !strings.Contains(which, "offset") {
				t.Errorf("table %s is empty: have this test fill it", table)
			}
			if done && !found {
				t.Errorf("%s: a deleted row is not found (order by %s)", table, which)
			}
			for _, column := range columns[table] {
				name := table + "." + column
				if notProtected[name] != "" {
					continue
				}
				set := "update " + table + " set " + column + " = "
				where := " where " + row
				found, done := tampered(t, folder,
					set+column+" + 1000003"+where+" and typeof("+column+") = 'integer'",
					set+column+" || 'x'"+where+" and typeof("+column+") = 'text'",
					set+"cast("+column+" || x'00' as blob)"+where+" and typeof("+column+") = 'blob'",
					set+"x'7b7d'"+where,
					// Columns that take certain words only.
					set+"'supervisor'"+where+" and "+column+" <> 'supervisor'", set+"'scout'"+where,
					set+"'left'"+where+" and "+column+" <> 'left'", set+"'quarantined'"+where)
				if done && !found {
					t.Errorf("%s: a change is not found (order by %s)", name, which)
				}
				if !done && !strings.Contains(which, "offset") {
					t.Errorf("%s: no change could be made", name)
				}
			}
		}
	}
}

func TestVerifyNamesWhatWasChanged(t *testing.T) {
	folder := filled(t, 1010)
	for _, one := range []struct{ name, change, says string }{
		{"keys gone", "delete from entry_keys", "is not listed with record"},
		{"a key too many", "insert into entry_keys values ('bed:00000000000000000000000000000000', 9)", "has no part in"},
		{"an id replaced", "update notes set id = zeroblob(16) where position = 9", "does not give the hash"},
		{"positions swapped", "update notes set position = 9999 where position = 9; update notes set position = 9 where position = 10; " +
			"update notes set position = 10 where position = 9999", "the order of the journal was changed"},
		{"a position left out", "update notes set position = position + 1 where position = (select max(position) from notes)", "has no entry at position"},
		{"a stamp", "update notes set at = at + 1 where position = 900", "between positions 1 and 1000"},
		{"a late stamp", "update notes set at = at + 1 where position = 1005", "between positions 1001 and"},
		{"another lot", "update notes set lot = 0 where position = 15", "entry 15 cannot be put together"},
		{"a role", "update devices set role = 'owner' where role = 'supervisor'", "table devices"},
		{"a revocation taken back", "update devices set revoked_at = 0 where revoked_at > 0", "was changed by another hand"},
		{"a device gone", "delete from devices where role = 'scout'", "is gone by another hand"},
		{"what a reading key reads", "update reading_keys set people = 1 where name = 'office'", "(a key by which another program reads) was changed by another hand"},
		{"a webhook", "update hooks set url = url || 'x'", "(a webhook: its address, its secret, what it gets) was changed by another hand"},
		{"the clock", "update meta set value = value + 315360000000 where name = 'clock'", `table meta: row "clock"`},
		{"the clock set back", "update meta set value = '5' where name = 'clock'", "last time is earlier"},
		{"quarantine", "update quarantine set state = 'left' where state = 'review'", "table quarantine"},
		{"an epoch", "update epochs set forked_at = 3", "table epochs"},
		{"a digest", "update digests set count = count + 1", "the digest of lot"},
		{"a record", "update records set json = x'7b7d' where key like 'lot:%'", "not what its entries add up to"},
		{"an open lot closed", "insert into closed_lots select n, 1, 1 from registers where id = (select substr(key, 5) from records where key like 'lot:%' order by n limit 1)", "is listed as closed, and is not"},
		{"a closed lot open", "delete from closed_lots", "is closed, and is not listed so"},
		{"an entry that stays", "delete from staying where position = 5", "entry 5 is not listed as one that first pulls never leave out"},
		{"what leaves", "update leaving_sums set count = count + 1", "first pulls may leave out"},
		{"a chain", "update writers set chain = zeroblob(32)", "does not give the hash"},
	} {
		t.Run(one.name, func(t *testing.T) {
			dir := testphone.Folder(t)
			if err := os.CopyFS(dir, os.DirFS(folder)); err != nil {
				t.Fatal(err)
			}
			raw, err := sql.Open("sqlite", filepath.Join(dir, db.File))
			if err != nil {
				t.Fatal(err)
			}
			if _, err := raw.Exec(one.change); err != nil {
				t.Fatal(err)
			}
			raw.Close()
			d, err := db.OpenAsItIs(filepath.Join(dir, db.File))
			if err != nil {
				t.Fatal(err)
			}
			defer d.Close()
			found, err := backup.Verify(t.Context(), d)
			if !errors.Is(err, backup.ErrUnsound) || !strings.Contains(strings.Join(found.Complaints, "\n"), one.says) {
				t.Fatalf("%v, complaints %q; want %q among them", err, found.Complaints, one.says)
			}
		})
	}
}

func TestAPictureWithOtherBytesIsFoundInDataAndInBackup(t *testing.T) {
	s, p := open(t, testphone.Folder(t)), testphone.New("a")
	p.Plant()
	s.push(p.All(1))
	leaf := []byte("leaf")
	sum := sha256.Sum256(leaf)
	name := hex.EncodeToString(sum[:])
	put := func(folder string, raw []byte) {
		t.Helper()
		path := filepath.Join(folder, backup.PhotosDir, name[:2], name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o750), os.WriteFile(path, raw, 0o600)); err != nil {
			t.Fatal(err)
		}
	}
	put(s.dir, leaf)
	folder := t.TempDir()
	made := s.backup(folder, now)
	if found, err := backup.Verify(t.Context(), s.db); err != nil || found.Pictures != 1 {
		t.Fatalf("%+v, %v", found, err)
	}
	// A file that somebody named otherwise is not the newest one, wherever its name stands among the others.
	if err := os.WriteFile(filepath.Join(folder, "bedwalk-before-update.db"), []byte("not a backup"), 0o600); err != nil {
		t.Fatal(err)
	}
	if path, found, err := backup.VerifyBackup(t.Context(), backup.Folder(folder), nil); err != nil || found.Pictures != 1 || found.Entries != 8 || path != made.Path {
		t.Fatalf("%s: %+v, %v", path, found, err)
	}
	put(folder, []byte("loaf"))
	if _, found, err := backup.VerifyBackup(t.Context(), backup.Folder(folder), nil); !errors.Is(err, backup.ErrUnsound) || !strings.Contains(found.Complaints[0], name) {
		t.Fatalf("%+v, %v", found, err)
	}
	if _, err := backup.Verify(t.Context(), s.db); err != nil {
		t.Fatal(err)
	}
	put(s.dir, []byte("loaf"))
	if found, err := backup.Verify(t.Context(), s.db); !errors.Is(err, backup.ErrUnsound) || !strings.Contains(found.Complaints[0], name) {
		t.Fatalf("%+v, %v", found, err)
	}
}
