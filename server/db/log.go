package db

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"time"
)

// LogLimit is how large (in bytes) the write-ahead log may become before it is written back by force. SQLite writes it
// back by itself at 32 MB, but starts it over only at a moment when nobody reads; while readers take turns, it grows.
const LogLimit = 64 << 20

// readLimit bounds a read: a reader keeps the log from being started over, and a caller who has hung up or crawls must not
// do so for long.
const readLimit = 2 * time.Minute

// LogSize is how large the write-ahead log is, in bytes.
func (d *DB) LogSize() (int64, error) {
	info, err := os.Stat(d.path + "-wal")
	if errors.Is(err, fs.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	return info.Size(), nil
}

// Size is how large the database and its log are, in bytes.
func (d *DB) Size() (int64, error) {
	info, err := os.Stat(d.path)
	if err != nil {
		return 0, err
	}
	log, err := d.LogSize()
	return info.Size() + log, err
}

// ShrinkLog writes the log back into the database and empties it, once it is larger than LogLimit. While somebody reads,
// it waits as long as for a lock, and writers with it; large is true where that was not long enough.
func (d *DB) ShrinkLog(ctx context.Context) (size int64, large bool, err error) {
	if size, err = d.LogSize(); err != nil || size <= LogLimit {
		return size, false, err
	}
	conn, err := d.writer.Conn(ctx)
	if err != nil {
		return size, true, Explain(err)
	}
	defer conn.Close()
	// Writers wait for this too, so it is less patient than they are. The pragma's answer says what was left.
	if _, err := conn.ExecContext(ctx, "pragma busy_timeout = 1000"); err != nil {
		return size, true, Explain(err)
	}
	var busy, pages, written int
	err = conn.QueryRowContext(ctx, "pragma wal_checkpoint(truncate)").Scan(&busy, &pages, &written)
	if _, again := conn.ExecContext(context.WithoutCancel(ctx), "pragma busy_timeout = 10000"); again != nil || err != nil {
		return size, true, Explain(errors.Join(err, again))
	}
	size, err = d.LogSize()
	return size, size > LogLimit, err
}
