package doctor

import (
	"fmt"
	"os"
	"path/filepath"

	"bedwalk/server/backup"
	"bedwalk/server/db"
)

const (
	// roomy is how much room there should be besides a copy of the data, in bytes: photos of some weeks.
	roomy = 500 << 20
	// copies is how many more times the data should fit: a backup's copy, or the tables while an update writes them again.
	copies = 2
)

// disk looks at the room that is left where the data and the backups are.
func (o Options) disk() (all []Finding) {
	info, err := os.Stat(filepath.Join(o.Data, db.File))
	size := int64(0)
	if err == nil {
		size = info.Size()
	}
	kept, _ := o.Backups.(backup.Folder)
	for _, each := range []struct{ about, folder string }{{"disk of the data", o.Data}, {"disk of the backups", string(kept)}} {
		if each.folder == "" {
			continue
		}
		free, err := freeBytes(each.folder)
		if err != nil {
			// Whether the folder is there is said elsewhere.
			continue
		}
		all = append(all, room(each.about, free, size))
	}
	return all
}

// room judges what is free beside data of so many bytes.
func room(about string, free, size int64) Finding {
	f := ok(about, "%s free", bytes(free))
	if need := copies*size + roomy; free < need {
		return f.but("Make room, or move the folder to a larger disk: an update and a backup need up to %s.", bytes(need))
	}
	return f
}

// firstYear is before any release: a machine whose clock has lost its battery starts in 1970 or in the year it was made.
const firstYear = 2026

// machineClock looks at the clock by itself; what notes and phones say of it comes with the nursery.
func (o Options) machineClock() []Finding {
	f := ok("clock", "%s", o.Now.Local().Format("Mon 2 Jan 2006 15:04 MST"))
	if o.Now.Year() < firstYear {
		return one(f.but("Set the clock: this program was not yet written then."))
	}
	if set, known := isSynchronized(); known && !set {
		return one(f.but("Nothing keeps it right: turn on this machine's time service (timedatectl set-ntp true, where systemd runs)."))
	}
	return one(f)
}

func bytes(n int64) string {
	if n >= 10<<30 {
		return fmt.Sprintf("%d GB", n>>30)
	}
	return fmt.Sprintf("%d MB", n>>20)
}
