// Package doctor looks for what keeps a server from doing its work, and says what to do about it: the data folder, the disk, the
// clock, the port, the address, the certificate, phones that are silent and backups. It changes nothing, and works beside a
// server that runs as well as without one. The central function is Examine.
package doctor

import (
	"context"
	"fmt"
	"io"
	"time"

	"bedwalk/server/backup"
)

// Finding is one thing that was looked at. What is in order has no remedy.
type Finding struct {
	About, Says, Do string
}

// Wrong is true of what somebody should do something about.
func (f Finding) Wrong() bool { return f.Do != "" }

// Options say what to look at: the way in which the server is served, as its flags have it.
type Options struct {
	Data string
	// Database is true where the notes lie in a database and not in a file of the folder.
	Database bool
	// Listen is the address and port that the server listens at; HTTPS is true when it speaks HTTPS there itself.
	Listen string
	HTTPS  bool
	// Address is how people reach the server where that was said ("https://beds.example"), else "".
	Address string
	// Cert and Key are the files of a certificate, "" where another way of HTTPS is used.
	Cert, Key string
	// Backups is the place that backups go to, nil when the server makes none; BackupsWrong is what is wrong with its address or key.
	Backups      backup.Place
	BackupsWrong error
	Build        string
	Now          time.Time
	// Open opens the nursery beside whatever else works on it.
	Open func(context.Context) (Nursery, error)
}

// Nursery is what the notes themselves say.
type Nursery struct {
	// Head is the position of the last note, BackedUpTo that of the last one in a backup, made at BackedUpAt (zero: never).
	Head, BackedUpTo int64
	BackedUpAt       time.Time
	// Last is the newest time that a note was stamped with; zero before the first note.
	Last        time.Time
	Quarantined int
	Phones      []Phone
	Standby     Standby
}

// Standby is how a database is followed: by how many, and whether a commit waits until one of them has it.
type Standby struct {
	Followers int
	Waited    bool
}

// Phone is a device that may come in. Skew is by how much its clock was ahead of the server's when it was last heard.
type Phone struct {
	Name, Role string
	Heard      time.Time
	Skew       time.Duration
	Pending    int
}

// Examine looks at everything, in the order in which it has to be mended.
func Examine(ctx context.Context, o Options) (all []Finding) {
	folder, running := o.folder()
	all = append(all, folder...)
	all = append(all, o.disk()...)
	all = append(all, o.machineClock()...)
	all = append(all, o.nursery(ctx, running)...)
	all = append(all, o.backups(ctx)...)
	health, port := o.port(ctx, running)
	all = append(all, port...)
	all = append(all, o.certificate(ctx, health != nil)...)
	return append(all, o.address(ctx, health)...)
}

// Print writes a line for each finding and, below what is wrong, what to do. It returns how many are wrong.
func Print(out io.Writer, all []Finding) (wrong int) {
	for _, f := range all {
		mark := "ok   "
		if f.Wrong() {
			mark = "LOOK "
			wrong++
		}
		fmt.Fprintf(out, "%s %s: %s\n", mark, f.About, f.Says)
		if f.Wrong() {
			fmt.Fprintf(out, "      -> %s\n", f.Do)
		}
	}
	return wrong
}

func ok(about, says string, values ...any) Finding {
	return Finding{About: about, Says: fmt.Sprintf(says, values...)}
}

func (f Finding) but(do string, values ...any) Finding {
	f.Do = fmt.Sprintf(do, values...)
	return f
}
