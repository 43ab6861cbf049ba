package backup

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"bedwalk/server/journal"
)

// whose is the file of a place that says of which nursery its backups are, by the epochs that were known at the last one. It is not called
// as in a data folder: a folder of backups that is copied to be one must not pass for the nursery as it was last used.
const whose = "nursery.json"

// ErrAnother says that a place has another nursery's backups: either would delete those of the other, and be restored in its place.
var ErrAnother = errors.New("the backups there are of another nursery: name a folder, or a PREFIX in the bucket, for each nursery")

// claim says at a place that it is for the backups of the nursery of a data folder.
func claim(ctx context.Context, data string, to Place) error {
	own := filepath.Join(data, journal.SidecarFile)
	if _, err := os.Stat(own); errors.Is(err, fs.ErrNotExist) {
		// Copied here by hand, and no server has started with it yet.
		return nil
	}
	there, err := to.Names(ctx, whose)
	if err != nil {
		return err
	}
	if slices.Contains(there, whose) {
		work, err := os.MkdirTemp(data, "backup-*.half")
		if err != nil {
			return err
		}
		defer os.RemoveAll(work)
		if err := to.Get(ctx, whose, filepath.Join(work, journal.SidecarFile)); err != nil {
			return err
		}
		another, err := journal.Strangers(work, data)
		if err != nil {
			return err
		}
		if another {
			return fmt.Errorf("%s: %w", to.At(""), ErrAnother)
		}
	}
	return to.Put(ctx, whose, own)
}
