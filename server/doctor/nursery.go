package doctor

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bedwalk/server/backup"
	"bedwalk/server/db"
)

const (
	// silent is after how long a phone is named: a week without a word is longer than any round of walks.
	silent = 7 * 24 * time.Hour
	// skewed is by how much clocks may differ: notes are stamped by the server, and a minute or two moves nothing.
	skewed = 5 * time.Minute
	// backupAge is how old the last backup may be while there are notes that it lacks.
	backupAge = 26 * time.Hour
)

// folder looks at the data folder; running is true when a server has it.
func (o Options) folder() (all []Finding, running bool) {
	f := ok("data folder", "%s", o.Data)
	info, err := os.Stat(o.Data)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return one(ok("data folder", "there is no folder %s", o.Data).but("Name the folder that the server uses with --data, or begin a new nursery there: bedwalk serve --data %s", o.Data)), false
	case err != nil:
		return one(ok("data folder", "%v", err).but("Run this as the user that the server runs as.")), false
	case !info.IsDir():
		return one(ok("data folder", "%s is a file", o.Data).but("Name a folder with --data.")), false
	}
	hold, err := db.HoldDir(o.Data, "doctor")
	if err == nil {
		err = hold.Release()
	}
	var held *db.HeldError
	switch {
	case errors.As(err, &held) && held.Command == "serve":
		return one(ok("data folder", "%s, served by process %d since %s", o.Data, held.PID, minute(held.Since))), true
	case errors.As(err, &held):
		return one(f.but("It is in use by bedwalk %s (process %d). Wait until that has ended, and look again.", held.Command, held.PID)), false
	case err != nil:
		return one(ok("data folder", "%v", err).but("Give the folder to the user that the server runs as.")), false
	}
	return one(f), false
}

// nursery looks at what the notes say: whether they can be read, and how the phones and the quarantine stand.
func (o Options) nursery(ctx context.Context, running bool) []Finding {
	if _, err := os.Stat(filepath.Join(o.Data, db.File)); err != nil && !o.Database {
		if running {
			return one(ok("notes", "the data file is gone while the server runs").but("Stop the server, put the last backup back with bedwalk restore, and start it again. Phones keep their notes."))
		}
		return one(ok("notes", "none yet: there is no %s", db.File).but("If there were some, put a backup back with bedwalk restore; if this nursery is new, start the server and pair the owner."))
	}
	n, err := o.Open(ctx)
	if errors.Is(err, db.ErrOlder) {
		return one(ok("notes", "an older Bedwalk wrote them; the next start of this one brings them up to date, and there is no way back").but("Make a backup with the older one first; then stop it and start this one."))
	}
	if err != nil && o.Database {
		return one(ok("notes", "cannot be read: %v", err).but("See that --store and --site are what the server is served with, and that PostgreSQL runs."))
	}
	if err != nil {
		return one(ok("notes", "cannot be read: %v", err).but("If the file is damaged, put the last backup back with bedwalk restore; bedwalk verify says whether it is."))
	}
	all := one(ok("notes", "%d", n.Head))
	if n.Quarantined > 0 {
		all = append(all, ok("quarantine", "%s for a decision", waiting(n.Quarantined)).but("Decide about them on the Phones page."))
	}
	all = append(all, n.Standby.look()...)
	all = append(all, o.notesBackedUp(n), o.clockByPhones(n))
	return append(all, o.silentPhones(n)...)
}

// look says what is lost where a standby takes over; nothing where there is none.
func (s Standby) look() []Finding {
	const about = "standby"
	switch {
	case s.Followers > 0 && s.Waited:
		return one(ok(about, "%s the database; a note is answered once it is there too", followers(s.Followers)))
	case s.Followers > 0:
		return one(ok(about, "%s the database, and no note waits for it", followers(s.Followers)).but("Where a standby takes over, it lacks the notes of its last moments until the phones that wrote them send them again. " +
			"Name it in synchronous_standby_names of PostgreSQL, and none is answered before it is there too."))
	case s.Waited:
		return one(ok(about, "none follows the database, which is set to wait for one: no note is answered").but("Start the standby, or take its name out of synchronous_standby_names of PostgreSQL. Phones keep their notes."))
	}
	return nil
}

func followers(n int) string {
	if n == 1 {
		return "1 follows"
	}
	return fmt.Sprintf("%d follow", n)
}

func (o Options) notesBackedUp(n Nursery) Finding {
	lacks := n.Head - n.BackedUpTo
	switch {
	case n.Head == 0:
		return ok("backup", "nothing to back up yet")
	case n.BackedUpAt.IsZero():
		return ok("backup", "never made").but("Serve with --backup-to and a folder on another disk, or run bedwalk backup --to FOLDER each day.")
	case lacks > 0 && o.Now.Sub(n.BackedUpAt) > backupAge:
		return ok("backup", "the last one is of %s and lacks %s", minute(n.BackedUpAt), plural(int(lacks), "note")).but("See why in the server's log; bedwalk backup --to FOLDER makes one now.")
	}
	return ok("backup", "of %s; not in it: %s", minute(n.BackedUpAt), plural(int(lacks), "note"))
}

// clockByPhones holds the server's clock against those of the phones. Phones set theirs by the network, so where most of those heard of
// late agree on another time it is the server's that is wrong; one alone is wrong itself.
func (o Options) clockByPhones(n Nursery) Finding {
	if !n.Last.IsZero() && n.Last.Sub(o.Now) > skewed {
		return ok("clock against notes", "this machine says %s, the newest note was stamped at %s", minute(o.Now), minute(n.Last)).
			but("Set the clock of this machine, by its time service; until then no note gets a time.")
	}
	var skews []time.Duration
	var off []string
	for _, phone := range n.Phones {
		if phone.Heard.IsZero() || o.Now.Sub(phone.Heard) > silent {
			continue
		}
		skews = append(skews, phone.Skew)
		if phone.Skew.Abs() > skewed {
			off = append(off, phone.Name)
		}
	}
	if len(off) == 0 {
		return ok("clocks of phones", "%s heard in the last week, none more than %d minutes off", plural(len(skews), "phone"), int(skewed.Minutes()))
	}
	slices.Sort(skews)
	if middle := skews[len(skews)/2]; len(skews) >= 3 && middle.Abs() > skewed {
		return ok("clocks of phones", "%d of %d phones are off; half of them by %s or more", len(off), len(skews), middle.Abs().Round(time.Minute)).
			but("So many agree that this machine's clock is wrong: set it by its time service.")
	}
	return ok("clocks of phones", "off by more than %d minutes: %s", int(skewed.Minutes()), names(off)).but("Set the clocks of these phones to the network's time. What they noted keeps its order.")
}

func (o Options) silentPhones(n Nursery) (all []Finding) {
	var quiet []string
	for _, phone := range n.Phones {
		if phone.Heard.IsZero() || o.Now.Sub(phone.Heard) <= silent {
			continue
		}
		words := phone.Name + ", last heard " + minute(phone.Heard)
		if phone.Pending > 0 {
			words += fmt.Sprintf(" with %s not sent", plural(phone.Pending, "note"))
		}
		quiet = append(quiet, words)
	}
	switch {
	case len(n.Phones) == 0:
		return one(ok("phones", "none is paired").but("The server prints a link for the owner at its first start; bedwalk pair prints one for anybody else."))
	case len(quiet) > 0:
		return one(ok("phones", "silent for over a week: %s", names(quiet)).but("Bring them into the nursery's wifi and open the app; revoke on the Phones page those that are lost."))
	}
	return one(ok("phones", "%d paired, all heard of within a week or new", len(n.Phones)))
}

// backups looks at the place of backups itself, which may be full of files that are not the last ones, closed to this key, or on the disk
// that it should survive.
func (o Options) backups(ctx context.Context) []Finding {
	const about = "backup place"
	if o.BackupsWrong != nil {
		return one(ok(about, "%v", o.BackupsWrong).but("Correct --backup-to and --backup-key, for the server too."))
	}
	if o.Backups == nil {
		return nil
	}
	folder, isFolder := o.Backups.(backup.Folder)
	if isFolder {
		if _, err := os.Stat(string(folder)); err != nil {
			return one(ok(about, "%v", err).but("Bring the disk back, or make the folder; phones keep their notes until a backup has them."))
		}
	}
	limit, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	name, made, err := backup.Newest(limit, o.Backups)
	switch {
	case err != nil && isFolder:
		return one(ok(about, "%v", err).but("Let the server's user read and write it."))
	case err != nil:
		return one(ok(about, "%v", err).but("Until it is put right no backup goes there; phones keep their notes until one has them."))
	case name == "":
		return one(ok(about, "%s holds no backup", o.Backups.At("")).but("Look into the server's log, or name the place that it uses with --backup-to."))
	}
	f := ok(about, "the newest is of %s", minute(made))
	if isFolder {
		if same, err := sameDisk(o.Data, string(folder)); err == nil && same {
			return one(f.but("It lies on the disk of the data: a broken disk takes both. Name a folder on another disk, or a bucket, with --backup-to."))
		}
	}
	return one(f)
}

func one(f Finding) []Finding { return []Finding{f} }

// named is how many names a line holds; a nursery with more silent phones has another trouble.
const named = 5

func names(all []string) string {
	if len(all) > named {
		return fmt.Sprintf("%s and %d more", strings.Join(all[:named], "; "), len(all)-named)
	}
	return strings.Join(all, "; ")
}

func plural(n int, of string) string {
	if n == 1 {
		return "1 " + of
	}
	return fmt.Sprintf("%d %ss", n, of)
}

func waiting(notes int) string {
	if notes == 1 {
		return "1 note waits"
	}
	return fmt.Sprintf("%d notes wait", notes)
}

func minute(t time.Time) string { return t.Local().Format("2006-01-02 15:04") }
