package main

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/backup"
)

// hoarder is a place that lets nothing be deleted.
type hoarder struct{ backup.Place }

func (hoarder) Delete(context.Context, string) error {
	return errors.New("the place is read-only for deletes")
}

func TestABackupThatWasMadeIsMadeAlsoWhereOlderOnesCannotBeDeleted(t *testing.T) {
	p, err := open(t.Context(), inFolder(t.TempDir()), "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	folder := t.TempDir()
	older := filepath.Join(folder, "bedwalk-20010909-014641.db")
	if err := os.WriteFile(older, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	s := &saver{serve: &serveCommand{BackupStay: 1}, parts: p, to: hoarder{backup.Folder(folder)}, log: slog.New(slog.NewTextHandler(&log, nil))}
	made, err := s.now(t.Context())
	if err != nil || filepath.Dir(made.Path) != folder {
		t.Errorf("made %+v: %v", made, err)
	}
	if _, err := os.Stat(made.Path); err != nil {
		t.Error(err)
	}
	if !strings.Contains(log.String(), "level=ERROR") || !strings.Contains(log.String(), "read-only for deletes") {
		t.Errorf("the log does not say that an old one stayed: %s", log.String())
	}
}
