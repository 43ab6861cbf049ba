package main

import (
	"context"
	"errors"
	"log/slog"
	"strings"
	"sync"
	"time"

	"bedwalk/server/backup"
)

// backups is the place that backups go to, nil for none, and the keys that they are encrypted for. Folder is one inside it, "" for the place itself.
func (c *serveCommand) backups(folder string) (backup.Place, backup.Keys, error) {
	if c.BackupTo != "" && folder != "" {
		// A slash stands before it in the address of a bucket, too.
		return c.place(strings.TrimRight(c.BackupTo, "/") + "/" + folder)
	}
	if c.BackupTo != "" {
		return c.place(c.BackupTo)
	}
	if c.BackupKey != "" {
		return nil, nil, errors.New("--backup-key encrypts what goes to --backup-to; name that too")
	}
	return nil, nil, nil
}

// saver makes the backups of a running server, one at a time.
type saver struct {
	serve *serveCommand
	parts *parts
	to    backup.Place
	keys  backup.Keys
	log   *slog.Logger
	mu    sync.Mutex
}

// now makes a backup and deletes older ones that are not to stay. One that was made is made, whether or not they could be deleted.
func (s *saver) now(ctx context.Context) (backup.Made, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	made, err := backup.Save(ctx, s.parts.source, s.parts.store, s.to, s.keys, time.Now())
	if err != nil {
		return made, err
	}
	s.log.Info("backup", "path", made.Path, "position", made.Position, "bytes", made.Bytes)
	c := s.serve
	rule := backup.Rule{Newest: c.BackupStay, Days: c.BackupDays, Weeks: c.BackupWeeks, Months: c.BackupMonths}
	if _, err := backup.Prune(ctx, s.to, rule); err != nil && ctx.Err() == nil {
		s.log.Error("older backups could not be deleted; that is tried again after the next backup", "error", err)
	}
	return made, nil
}

// keep makes a backup now and then, when the last one lacks something. A failure is logged and tried again: serving
// goes on, and the phones see by the watermark that their notes are not backed up.
func (s *saver) keep(ctx context.Context) {
	tick := time.NewTicker(max(s.serve.BackupEvery, time.Minute))
	defer tick.Stop()
	for {
		if s.parts.store.Head() > s.parts.store.BackedUpTo() {
			_, err := s.now(ctx)
			if ctx.Err() != nil {
				return
			}
			if err != nil {
				s.log.Error("the backup failed", "error", err)
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}
