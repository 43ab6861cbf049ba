package main

import (
	"database/sql"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"bedwalk/server/backup"
	"bedwalk/server/testphone"
)

// The commands themselves, as somebody types them: what one writes the other takes.
func TestWhatTheCommandsKeepTheyGiveBack(t *testing.T) {
	data, p := serving(t)
	at, head := t.TempDir(), p.store.Head()
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	secret, kept := filepath.Join(at, "secret"), filepath.Join(at, "kept")
	if err := (&keyCommand{To: secret}).Run(); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(secret)
	if err != nil {
		t.Fatal(err)
	}
	public := filepath.Join(at, "public")
	line, _, _ := strings.Cut(strings.TrimPrefix(string(raw), "# public half: "), "\n")
	if err := os.WriteFile(public, []byte(line), 0o600); err != nil {
		t.Fatal(err)
	}
	restored, imported, exported := testphone.Folder(t), testphone.Folder(t), filepath.Join(at, "exported")
	for _, step := range []struct {
		name string
		run  func() error
	}{
		{"backup", func() error {
			return (&backupCommand{nurseryFlag: inFolder(data), To: kept, keyFlag: keyFlag{public}}).Run(t.Context())
		}},
		{"restore", func() error {
			return (&restoreCommand{dataFlag: dataFlag{restored}, From: kept, secretFlag: secretFlag{secret}}).Run(t.Context())
		}},
		{"verify", func() error {
			return (&verifyCommand{nurseryFlag: inFolder(restored), Backup: kept, secretFlag: secretFlag{secret}}).Run(t.Context())
		}},
		{"export", func() error { return (&exportCommand{inFolder(data), exported}).Run(t.Context()) }},
		{"import", func() error { return (&importCommand{dataFlag{imported}, exported}).Run(t.Context()) }},
		{"verify what was imported", func() error { return (&verifyCommand{nurseryFlag: inFolder(imported)}).Run(t.Context()) }},
	} {
		if err := step.run(); err != nil {
			t.Fatalf("%s: %v", step.name, err)
		}
	}
	for _, dir := range []string{data, restored, imported} {
		p, err := openBeside(t.Context(), inFolder(dir))
		if err != nil {
			t.Fatal(err)
		}
		if p.store.Head() != head {
			t.Errorf("%s ends at %d of %d", dir, p.store.Head(), head)
		}
		if left, _ := filepath.Glob(filepath.Join(dir, "*.half")); len(left) > 0 {
			t.Errorf("left behind: %v", left)
		}
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if err := (&restoreCommand{dataFlag: dataFlag{restored}, From: kept}).Run(t.Context()); err == nil || !strings.Contains(err.Error(), backup.ErrNoKey.Error()) {
		t.Errorf("without the key: %v", err)
	}
}

func TestWhatADiskRefusesIsSaidWithWhatToDo(t *testing.T) {
	for _, c := range []struct {
		err  error
		says string
	}{
		{syscall.ENOSPC, "free some space on it"}, {syscall.EROFS, "mounted for writing"}, {syscall.EACCES, "as the user that the server runs as"},
		{syscall.EIO, ""},
	} {
		wrapped := fmt.Errorf("nothing was exported: %w", &os.PathError{Op: "write", Path: "/x", Err: c.err})
		if said := ofDisk(wrapped); !errors.Is(said, c.err) || !strings.Contains(said.Error(), c.says) || c.says == "" && said != wrapped {
			t.Errorf("%v", said)
		}
	}
}

// A machine whose clock is an hour behind takes no notes, and says so where it is started.
func TestAClockAnHourBehindIsNamedAtTheTerminal(t *testing.T) {
	data, p := serving(t)
	if err := p.file.Write(t.Context(), func(tx *sql.Tx) error {
		_, err := tx.Exec("update meta set value = ? where name = 'clock'", time.Now().Add(time.Hour).UnixMilli())
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	p, err := open(t.Context(), inFolder(data), "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	text, err := printed(t, func() error {
		return (&serveCommand{nurseryFlag: inFolder(data)}).announceNursery(t.Context(), p, &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 1})
	})
	if err != nil || !strings.Contains(text, "The server's clock is behind the last time that it gave.") || !strings.Contains(text, "Set the clock of the server's machine") {
		t.Errorf("%v\n%s", err, text)
	}
}
