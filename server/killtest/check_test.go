package killtest

import (
	"context"
	"database/sql"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
	"bedwalk/server/realrun"
)

// The drills are only as good as the faults they would find. Each harm is done to the files of a sound server, and the
// check that the drills use must find it.
func TestTheCheckFindsWhatAServerCouldDoWrong(t *testing.T) {
	binary, err := realrun.Build(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	program := &realrun.Program{Binary: binary, Data: filepath.Join(t.TempDir(), "data")}
	if err := program.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { program.Kill() })
	owner, _, err := program.Phones(t.Context(), 0)
	if err != nil {
		t.Fatal(err)
	}
	owner.Plant(beds)
	if err := drain(t.Context(), owner); err != nil {
		t.Fatal(err)
	}
	if err := program.Stop(); err != nil {
		t.Fatal(err)
	}
	all := []*realrun.Phone{owner}
	copied := filepath.Join(t.TempDir(), "copy")
	if err := checkCopy(t.Context(), program, copied, all, exactlyAcked); err != nil {
		t.Fatalf("a sound server's files are faulted: %v", err)
	}
	last := owner.Given[len(owner.Given)-1].Position
	for _, harm := range []struct {
		name, found string
		do          func()
	}{
		{"one more note was acknowledged than is stored", "acknowledged", func() {
			owner.Note("note", "", "", struct{}{})
			owner.Given = append(owner.Given, owner.Given[0])
			owner.Acked++
		}},
		{"a stored note is not the one that was sent", "not what the phone wrote", func() { owner.Raw[2], owner.Raw[3] = owner.Raw[3], owner.Raw[2] }},
		{"a note was acknowledged at another position", "was acknowledged at position", func() { owner.Given[1].Position = last + 1 }},
		{"a note is gone from the file", "has no entry", func() {
			change(t, program, "delete from notes where position = (select min(position) + 3 from notes)")
		}},
	} {
		t.Run(harm.name, func(t *testing.T) {
			kept := *owner
			phone := *owner.Phone
			phone.Raw = append(phone.Raw[:0:0], phone.Raw...)
			given := append(owner.Given[:0:0], owner.Given...)
			harm.do()
			err := checkCopy(t.Context(), program, copied, all, exactlyAcked)
			if err == nil || !strings.Contains(err.Error(), harm.found) {
				t.Fatalf("the check says %v, want it to contain %q", err, harm.found)
			}
			kept.Phone, kept.Given = &phone, given
			*owner = kept
		})
	}
}

func change(t *testing.T, program *realrun.Program, statement string) {
	t.Helper()
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(program.Data, db.File)})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if err := d.Write(context.Background(), func(tx *sql.Tx) error {
		_, err := tx.Exec(statement)
		return err
	}); err != nil {
		t.Fatal(err)
	}
}
