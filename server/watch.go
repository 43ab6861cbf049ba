package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"time"

	"bedwalk/server/backup"
)

// lookEvery is how often it is looked whether the nursery is where it was opened, while nobody writes.
const lookEvery = 5 * time.Second

// lost returns why the nursery is not where it was opened any more, or nil at the end of ctx. Where gone is closed it is looked at once.
func (p *parts) lost(ctx context.Context, gone <-chan struct{}) error {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	for {
		if err := p.Present(); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case <-gone:
		case <-tick.C:
		}
	}
}

// watch looks at the data files, and says loudly when they are no longer the ones that are open. The server then answers
// everything with 503 until it is started again, so that its remedy stands on the phones and the desk too; what it still
// has open it saves to a file first.
func (p *parts) watch(ctx context.Context, out io.Writer, log *slog.Logger) {
	what := p.lost(ctx, p.file.Gone())
	if what == nil {
		return
	}
	saved, err := backup.Rescue(ctx, p.file, time.Now())
	log.Error("the data files are gone", "error", what, "saved", saved.Path, "saved_error", err)
	fmt.Fprintf(out, "\nSTOPPED TAKING NOTES. %v\n", what)
	if err != nil {
		fmt.Fprintf(out, "What the server had open could not be saved: %v\nStop it, and put the last backup back: bedwalk restore --data %s --from FILE\n", err, p.file.Dir())
		return
	}
	fmt.Fprintf(out, "All notes up to position %d are saved in %s. Stop the server (Ctrl-C), then\nbedwalk restore --data %s --from %s\nand start it again. Phones keep their notes meanwhile.\n",
		saved.Position, saved.Path, p.file.Dir(), saved.Path)
}
