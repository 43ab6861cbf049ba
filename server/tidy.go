package main

import (
	"context"
	"fmt"
	"log/slog"
	"time"
)

// tidyEvery is how often the data folder is looked after while serving.
const tidyEvery = time.Minute

// codeLog is the incident of a write-ahead log that cannot be written back; it is over when it could.
const codeLog = "log_large"

// tidy drops uploads that were given up, and keeps the write-ahead log small. What it cannot do it tries again: serving
// goes on either way.
func (p *parts) tidy(ctx context.Context, log *slog.Logger) {
	tick := time.NewTicker(tidyEvery)
	defer tick.Stop()
	for {
		if swept, err := p.photos.Sweep(); err != nil {
			log.Warn("uploads that were given up could not be dropped", "error", err)
		} else if swept > 0 {
			log.Info("dropped uploads that were given up", "pictures", swept)
		}
		if err := p.shrinkLog(ctx, log); err != nil && ctx.Err() == nil {
			log.Warn("the write-ahead log could not be looked after", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// shrinkLog writes the log back into the database once it is larger than it should be, and reports on the Phones page one that stays
// large because somebody goes on reading.
func (p *parts) shrinkLog(ctx context.Context, log *slog.Logger) error {
	if p.file == nil {
		return nil
	}
	size, large, err := p.file.ShrinkLog(ctx)
	if err != nil {
		return err
	}
	if !large {
		return p.store.Over(ctx, "", codeLog)
	}
	log.Warn("the write-ahead log is large, because somebody goes on reading", "bytes", size)
	return p.store.File(ctx, "", codeLog, fmt.Sprintf("bedwalk.db-wal has %d MB. It is written back once nobody reads for a moment; "+
		"if it stays so, close programs that have the database open, or start the server again.", size>>20))
}
