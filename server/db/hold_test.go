package db_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
)

func TestADataFolderHasOneHolderAndTheSecondLearnsWho(t *testing.T) {
	dir := t.TempDir()
	first, err := db.HoldDir(dir, "serve")
	if err != nil {
		t.Fatal(err)
	}
	_, err = db.HoldDir(dir, "restore")
	var held *db.HeldError
	if !errors.As(err, &held) || !errors.Is(err, db.ErrHeld) || held.PID != os.Getpid() || held.Command != "serve" || held.Since.IsZero() {
		t.Fatalf("got %v", err)
	}
	for _, words := range []string{"bedwalk serve", "stop that first", "--data"} {
		if !strings.Contains(err.Error(), words) {
			t.Errorf("%q does not say %q", err, words)
		}
	}
	before := db.AddressOf(dir)
	if err := first.ServesAt("http://localhost:8080"); err != nil || before != "" || db.AddressOf(dir) != "http://localhost:8080" {
		t.Errorf("%v; its address is %q, then %q", err, before, db.AddressOf(dir))
	}
	if err := first.Release(); err != nil || db.AddressOf(dir) != "" {
		t.Fatalf("%v; after it the address is %q", err, db.AddressOf(dir))
	}
	second, err := db.HoldDir(dir, "restore")
	if err != nil {
		t.Fatalf("the folder was let go and is still held: %v", err)
	}
	if err := second.Release(); err != nil {
		t.Fatal(err)
	}
}

// What a holder leaves that was killed: both files, and no lock.
func TestFilesOfAHolderThatWasKilledHoldNothing(t *testing.T) {
	dir := t.TempDir()
	for name, content := range map[string]string{db.LockFile: "", db.HolderFile: `{"pid":1,"command":"serve","since":"2026-01-01T00:00:00Z"}`} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	h, err := db.HoldDir(dir, "serve")
	if err != nil {
		t.Fatal(err)
	}
	if err := h.Release(); err != nil {
		t.Fatal(err)
	}
}

func TestAFolderThatCannotBeLockedSaysWhatToDo(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := db.HoldDir(file, "serve"); err == nil || !strings.Contains(err.Error(), "belongs to this user") {
		t.Fatalf("got %v", err)
	}
}
