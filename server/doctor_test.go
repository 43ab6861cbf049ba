package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
)

// printed is what a command writes to the terminal.
func printed(t *testing.T, run func() error) (text string, err error) {
	t.Helper()
	out, err := os.CreateTemp(t.TempDir(), "out")
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	terminal := os.Stdout
	os.Stdout = out
	err = run()
	os.Stdout = terminal
	raw, readErr := os.ReadFile(out.Name())
	if readErr != nil {
		t.Fatal(readErr)
	}
	return string(raw), err
}

func TestDoctorReadsARealNurseryBesideTheServerAndChangesNothing(t *testing.T) {
	data, p := serving(t)
	defer p.Close()
	before := p.store.Head()
	text, err := printed(t, func() error {
		c := doctorCommand{serveCommand: serveCommand{nurseryFlag: inFolder(data), Listen: "127.0.0.1:1"}}
		return c.Run(t.Context())
	})
	if err == nil || !strings.Contains(err.Error(), "to look at") {
		t.Errorf("a server that does not answer: %v", err)
	}
	for _, want := range []string{"ok    data folder: " + data + ", served by process", "ok    notes: ", "LOOK  backup: never made", "LOOK  port 127.0.0.1:1: the server runs and does not answer here", "      -> "} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if p.store.Head() != before || p.file.Present() != nil {
		t.Errorf("the journal went from %d to %d; %v", before, p.store.Head(), p.file.Present())
	}
}

// Which data an older Bedwalk wrote is seen, and left for a start of the server, which may come after a backup.
func TestDoctorDoesNotBringOlderDataUpToDate(t *testing.T) {
	old, err := os.ReadFile("../fixtures/release-0981956/data/bedwalk.db")
	if err != nil {
		t.Fatal(err)
	}
	data := t.TempDir()
	path := filepath.Join(data, db.File)
	if err := os.WriteFile(path, old, 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := printed(t, func() error {
		c := doctorCommand{serveCommand: serveCommand{nurseryFlag: inFolder(data), Listen: "127.0.0.1:0"}}
		return c.Run(t.Context())
	})
	if err == nil || !strings.Contains(text, "LOOK  notes: an older Bedwalk wrote them") {
		t.Errorf("%v\n%s", err, text)
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, old) {
		t.Errorf("the data was changed: %v", err)
	}
}

func TestDoctorSaysWhichFlagsContradictEachOther(t *testing.T) {
	c := doctorCommand{serveCommand: serveCommand{nurseryFlag: inFolder(t.TempDir()), Office: true, Domain: []string{"beds.example"}}}
	if err := c.Run(t.Context()); err == nil || !strings.Contains(err.Error(), "choose one") {
		t.Errorf("got %v", err)
	}
}
