// Package testpg starts a PostgreSQL for tests and drills: one a process, in a folder of its own, reached by a socket there and by no port.
package testpg

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
)

// ErrMissing says that PostgreSQL is not installed.
var ErrMissing = errors.New("PostgreSQL is not installed (apt-get install postgresql)")

// Skips is true of an error for which a test is left out: nobody has to have PostgreSQL but with CI=true.
func Skips(err error) bool { return errors.Is(err, ErrMissing) && os.Getenv("CI") != "true" }

// URL is the address of this process's database for a test.
func URL(t interface {
	Helper()
	Skip(args ...any)
	Fatal(args ...any)
}) string {
	t.Helper()
	url, err := Start()
	if Skips(err) {
		// Left out where there is no PostgreSQL; the first line of npm test says so.
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	return url
}

// Own is the address of a database of its own on the same PostgreSQL, for what goes through all nurseries of one.
func Own(t interface {
	Helper()
	Skip(args ...any)
	Fatal(args ...any)
}) string {
	t.Helper()
	url, name := URL(t), Name()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, Operator(url))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	if err := Make(ctx, conn, name, ""); err != nil {
		t.Fatal(err)
	}
	return Named(url, name)
}

// Name is for a database that no other of this process has.
func Name() string { return fmt.Sprintf("bedwalk_%d", sites.Add(1)) }

// Named is the address of a database of another name.
func Named(url, name string) string {
	_, rest, _ := strings.Cut(url, "?")
	return "postgres:///" + name + "?" + rest
}

// Operator is the same address for whoever looks after PostgreSQL and sees everything.
func Operator(url string) string { return strings.Replace(url, "user="+role, "user=postgres", 1) }

// role is whom Bedwalk comes as, and the name of the process's database.
const role = "bedwalk"

// Make makes a database as an operator, from another that nobody is connected to, or where from is "" an empty one. It orders texts as people do, which
// Bedwalk must not go by.
func Make(ctx context.Context, operator *pgx.Conn, name, from string) error {
	if from == "" {
		from = "template0 encoding 'UTF8' locale_provider icu icu_locale 'en-US' locale 'C'"
	}
	_, err := operator.Exec(ctx, "create database "+name+" owner "+role+" template "+from)
	return err
}

var sites atomic.Int64

// Site is a name that no other test of this process has.
func Site() string { return fmt.Sprintf("site %d", sites.Add(1)) }

// Start gives the address of this process's database.
func Start() (url string, err error) { return start() }

var start = sync.OnceValues(func() (string, error) { return startIn(inMemory()) })

// StartOnDisk is Start for who measures what it takes to keep something: in a folder of the machine's disk, in place of memory. A process
// calls one of the two.
func StartOnDisk() (url string, err error) { return startIn("") }

func startIn(where string) (string, error) {
	p, err := placeIn(where)
	if err != nil {
		return "", err
	}
	url, _, err := p.begin()
	return url, err
}

// place is where a PostgreSQL of its own lies, and as whom it runs.
type place struct {
	bin, folder string
	as          *processAttributes
}

func placeIn(where string) (p place, err error) {
	if p.bin, err = binaries(); err != nil {
		return p, err
	}
	if p.folder, err = os.MkdirTemp(where, "bedwalk-pg-*"); err != nil {
		return p, err
	}
	p.as, err = ordinary(p.folder)
	return p, err
}

func (p place) data() string { return filepath.Join(p.folder, "data") }

// run runs one of PostgreSQL's programs to its end.
func (p place) run(program string, args ...string) error {
	one := exec.Command(filepath.Join(p.bin, program), args...)
	one.SysProcAttr, one.Dir = p.as, p.folder
	if said, err := one.CombinedOutput(); err != nil {
		return fmt.Errorf("make a database for tests: %s: %w\n%s", program, err, said)
	}
	return nil
}

// begin starts a new one, and gives the address of its database. said gives its log where it ends.
func (p place) begin() (url string, said <-chan string, err error) {
	if err := p.run("initdb", "--pgdata="+p.data(), "--username=postgres", "--auth=trust", "--encoding=UTF8", "--locale=C", "--wal-segsize=1", "--no-sync"); err != nil {
		return "", nil, err
	}
	if said, err = p.serve(); err != nil {
		return "", nil, err
	}
	url, err = p.fill(said)
	return url, said, err
}

// serve has PostgreSQL run until this process ends, however it ends: a shell waits for the end of its input, which this process holds open. said gives
// PostgreSQL's log where it ends before that.
func (p place) serve() (said <-chan string, err error) {
	const script = `folder=$1; shift; exec 3<&0
"$@" </dev/null >"$folder/log" 2>&1 3<&- & postgres=$!
{ read -r _ <&3; kill -QUIT $postgres; } >/dev/null 2>&1 & watch=$!
wait $postgres; cat "$folder/log"; rm -rf "$folder"; kill $watch`
	shell := exec.Command("sh", "-c", script, "sh", p.folder, filepath.Join(p.bin, "postgres"), "-D", p.data(), "-k", p.folder, "-c", "listen_addresses=",
		"-c", "shared_buffers=32MB", "-c", "max_wal_size=64MB", "-c", "min_wal_size=4MB", "-c", "max_connections=200")
	shell.SysProcAttr = p.as
	shell.Dir = p.folder
	var log strings.Builder
	shell.Stdout = &log
	alive, err := shell.StdinPipe()
	if err != nil {
		return nil, err
	}
	if err := shell.Start(); err != nil {
		return nil, err
	}
	inputs.Store(p.folder, alive)
	ended := make(chan string, 1)
	go func() {
		err := shell.Wait()
		ended <- fmt.Sprintf("%s%v", &log, err)
	}()
	return ended, nil
}

// inputs are the shells' inputs by their folders. They are closed when the process ends, or before that if nothing held them.
var inputs sync.Map

// kill ends it as a machine that loses its power does, and returns once it has ended.
func (p place) kill(ended <-chan string) error {
	input, _ := inputs.LoadAndDelete(p.folder)
	err := input.(io.Closer).Close()
	<-ended
	return err
}

func (p place) address(database, user string) string {
	return fmt.Sprintf("postgres:///%s?host=%s&user=%s", database, p.folder, user)
}

// operate connects to one that was started as its operator, however long that takes on a busy machine: only one that has ended will not answer.
func (p place) operate(ctx context.Context, ended <-chan string) (*pgx.Conn, error) {
	for {
		conn, err := pgx.Connect(ctx, p.address("postgres", "postgres"))
		if err == nil {
			return conn, nil
		}
		select {
		case said := <-ended:
			return nil, fmt.Errorf("start a database for tests: %w\n%s", err, said)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// fill makes the database, owned by a role as an operator would make it.
func (p place) fill(ended <-chan string) (string, error) {
	ctx := context.Background()
	conn, err := p.operate(ctx, ended)
	if err != nil {
		return "", err
	}
	defer conn.Close(ctx)
	if _, err := conn.Exec(ctx, "create role "+role+" login"); err != nil {
		return "", fmt.Errorf("make the role %s: %w", role, err)
	}
	if err := Make(ctx, conn, role, ""); err != nil {
		return "", fmt.Errorf("make the database %s: %w", role, err)
	}
	return p.address(role, role), nil
}

// binaries is the folder of the newest PostgreSQL here. Debian keeps its programs out of the path.
func binaries() (string, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/postgres")
	if err != nil {
		return "", err
	}
	version := func(path string) int {
		n, _ := strconv.Atoi(filepath.Base(filepath.Dir(filepath.Dir(path))))
		return n
	}
	if len(found) > 0 {
		return filepath.Dir(slices.MaxFunc(found, func(a, b string) int { return version(a) - version(b) })), nil
	}
	path, err := exec.LookPath("postgres")
	if err != nil {
		return "", ErrMissing
	}
	return filepath.Dir(path), nil
}

// nobody are users that a database may run as in place of root, who may not.
var nobody = []string{"postgres", "nobody"}

func lookUp(names []string) (one *user.User, err error) {
	for _, name := range names {
		if one, err = user.Lookup(name); err == nil {
			return one, nil
		}
	}
	return nil, fmt.Errorf("there is no user %s to run PostgreSQL as: %w", strings.Join(names, " or "), err)
}
