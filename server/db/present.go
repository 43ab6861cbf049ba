package db

import (
	"fmt"
	"net/http"
	"os"
	"sync/atomic"

	"bedwalk/schema"
)

// ErrGone says that the database's files are no longer the ones that were opened: somebody deleted, moved or replaced
// them while the server was running. What is written then would be in no file that the next start finds.
var ErrGone = schema.NewProblem(http.StatusServiceUnavailable, "data_gone", "The server's data file was moved, deleted or replaced while it was running, so it takes no notes.",
	"Stop the server, restore a backup or the copy that the server's log names, and start it again; the phones keep their notes.")

// RescuedFiles is the pattern of the names of copies that were made of an open database whose files were gone.
const RescuedFiles = "rescued-*.db"

// pinned is a file as it was when it was opened: its path must go on leading to it.
type pinned struct {
	path string
	info os.FileInfo
	// size is the most that the file has been, for one that never shrinks; nil for others.
	size *atomic.Int64
}

func pin(path string) (pinned, error) {
	info, err := os.Stat(path)
	if err != nil {
		return pinned{}, err
	}
	// Windows looks the file's number up when it is first compared; by then the path may lead elsewhere.
	os.SameFile(info, info)
	return pinned{path: path, info: info}, nil
}

// there is nil while the path leads to the same file.
func (p pinned) there() error {
	most := int64(0)
	if p.size != nil {
		// Before the look, or another's later look would make this one seem to have found less.
		most = p.size.Load()
	}
	now, err := os.Stat(p.path)
	if err != nil {
		return fmt.Errorf("%w (%s: %w)", ErrGone, p.path, err)
	}
	if !os.SameFile(p.info, now) {
		return fmt.Errorf("%w (%s is another file now)", ErrGone, p.path)
	}
	if p.size != nil {
		if now.Size() < most {
			return fmt.Errorf("%w (%s had %d bytes and has %d: something was copied over it)", ErrGone, p.path, most, now.Size())
		}
		for ; now.Size() > most && !p.size.CompareAndSwap(most, now.Size()); most = p.size.Load() {
		}
	}
	return nil
}

// pinFiles remembers the files that make up the open database: the database, its log and the log's index, and the lock
// on the folder. SQLite keeps the log as long as one connection is open; d.anchor is that one.
func (d *DB) pinFiles(hold *Hold) error {
	paths := []string{d.path, d.path + "-wal", d.path + "-shm"}
	for _, path := range paths {
		p, err := pin(path)
		if err != nil {
			return fmt.Errorf("look at the database's files: %w", err)
		}
		d.files = append(d.files, p)
	}
	// SQLite never makes the database smaller, unless asked to, which is not done here.
	d.files[0].size = new(atomic.Int64)
	if hold != nil {
		d.files = append(d.files, hold.file)
	}
	return nil
}

// Present is nil while all files of the open database are where they were. Otherwise it is ErrGone, and stays so: what
// was put in their place belongs to the next start.
func (d *DB) Present() error {
	if lost := d.lost.Load(); lost != nil {
		return *lost
	}
	for _, file := range d.files {
		if err := file.there(); err != nil {
			if d.lost.CompareAndSwap(nil, &err) {
				close(d.gone)
			}
			return *d.lost.Load()
		}
	}
	return nil
}

// Gone is closed when Present has failed for the first time.
func (d *DB) Gone() <-chan struct{} { return d.gone }
