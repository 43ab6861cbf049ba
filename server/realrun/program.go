// Package realrun runs the real program as its own process, to be killed without warning and started again, and is a
// phone that speaks to it over HTTP.
//
// It is for the drills and the benches, which must see what a nursery sees: a binary, a port, a data folder, a cookie.
// Nothing here reaches into the server's packages while the program runs. The central types are Program and Phone.
package realrun

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"time"
)

// Build compiles the program into a folder and returns its path. BEDWALK_BINARY names one that is built already.
func Build(ctx context.Context, folder string) (path string, err error) {
	if path = os.Getenv("BEDWALK_BINARY"); path != "" {
		return filepath.Abs(path)
	}
	path = filepath.Join(folder, "bedwalk")
	if runtime.GOOS == "windows" {
		path += ".exe"
	}
	out, err := exec.CommandContext(ctx, "go", "build", "-o", path, "bedwalk/server").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("build the program: %w\n%s", err, out)
	}
	return path, nil
}

// Program is the server on one data folder. Fields may be set before Start.
type Program struct {
	Binary string
	Data   string
	// Env is added to this process's own environment, Flags to those of serve.
	Env   []string
	Flags []string

	cmd    *exec.Cmd
	ended  chan struct{}
	url    string
	owner  string
	errors tail
	// rest is what it goes on to print; few lines, which fit into the pipe until somebody reads them.
	rest *bufio.Scanner
}

var (
	atLine    = regexp.MustCompile(`^Bedwalk is at http://localhost:(\d+)`)
	savedLine = regexp.MustCompile(`^All notes .* are saved in (.+\.db)\. `)
	ownerLine = regexp.MustCompile(`^pair owner: \S+/pair/(\S+)`)
)

// Start starts the program on a free port and returns when it has said how to get in.
func (p *Program) Start(ctx context.Context) error {
	said, err := p.Spawn()
	if err != nil {
		return err
	}
	lines := bufio.NewScanner(said)
	for lines.Scan() {
		if found := atLine.FindStringSubmatch(lines.Text()); found != nil {
			p.url = "http://127.0.0.1:" + found[1]
		}
		if found := ownerLine.FindStringSubmatch(lines.Text()); found != nil {
			p.owner = found[1]
		}
		// Each way of greeting ends with how a device is paired.
		if p.url != "" && strings.Contains(lines.Text(), "pair ") {
			p.rest = lines
			return nil
		}
		if ctx.Err() != nil {
			break
		}
	}
	return errors.Join(fmt.Errorf("the program did not start; its log ends with:\n%s", p.errors.String()), ctx.Err(), p.Kill())
}

// Spawn starts the program and does not wait for anything; said is what it prints. Until Start it cannot be spoken to.
func (p *Program) Spawn() (said io.Reader, err error) {
	p.url, p.owner = "", ""
	p.cmd = exec.Command(p.Binary, append([]string{"serve", "--data", p.Data, "--listen", "127.0.0.1:0"}, p.Flags...)...)
	p.cmd.Env = append(os.Environ(), p.Env...)
	p.cmd.Stderr = &p.errors
	// A pipe of our own: StdoutPipe's would be closed under a reader by Wait.
	read, write, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	p.cmd.Stdout = write
	err = p.cmd.Start()
	write.Close()
	if err != nil {
		read.Close()
		return nil, fmt.Errorf("start %s: %w", p.Binary, err)
	}
	ended, cmd := make(chan struct{}), p.cmd
	p.ended = ended
	go func() {
		// How it ended is for whoever ended it to judge.
		_ = cmd.Wait()
		close(ended)
	}()
	return read, nil
}

// Kill ends the program as a power cut does (kill -9), and returns when it is gone.
func (p *Program) Kill() error {
	return p.end(func(process *os.Process) error { return process.Kill() })
}

// Stop ends the program in its own time.
func (p *Program) Stop() error {
	return p.end(func(process *os.Process) error { return process.Signal(syscall.SIGTERM) })
}

func (p *Program) end(how func(*os.Process) error) error {
	if p.cmd == nil || p.cmd.Process == nil {
		return nil
	}
	err := how(p.cmd.Process)
	<-p.ended
	if errors.Is(err, os.ErrProcessDone) {
		return nil
	}
	return err
}

// At is a program that runs already, started by somebody else, with a code for an owner's device.
func At(url, ownerCode string) *Program { return &Program{url: url, owner: ownerCode} }

// Saved waits until the running program says that its data files are gone, and returns the copy that it saved.
func (p *Program) Saved(ctx context.Context) (path string, err error) {
	for p.rest.Scan() {
		if found := savedLine.FindStringSubmatch(p.rest.Text()); found != nil {
			return found[1], nil
		}
		if ctx.Err() != nil {
			break
		}
	}
	return "", errors.Join(fmt.Errorf("the program saved nothing; its log ends with:\n%s", p.errors.String()), ctx.Err())
}

// URL is the address of the running program.
func (p *Program) URL() string { return p.url }

// OwnerCode is the code with which the first device is paired, after a first start.
func (p *Program) OwnerCode() string { return p.owner }

// PID is the process id of the running program.
func (p *Program) PID() int { return p.cmd.Process.Pid }

// CPU is the processor time that the program has taken in its last life; it must have ended.
func (p *Program) CPU() time.Duration {
	return p.cmd.ProcessState.UserTime() + p.cmd.ProcessState.SystemTime()
}

// Log is the end of what the program wrote to its log.
func (p *Program) Log() string { return p.errors.String() }

// Run runs another command of the program on the same data and returns what it printed.
func (p *Program) Run(ctx context.Context, command string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, p.Binary, append([]string{command, "--data", p.Data}, args...)...)
	cmd.Env = append(os.Environ(), p.Env...)
	out, err := cmd.CombinedOutput()
	if err != nil {
		return string(out), fmt.Errorf("bedwalk %s: %w\n%s", command, err, out)
	}
	return string(out), nil
}

// tail keeps the end of a log.
type tail struct {
	mu   sync.Mutex
	kept bytes.Buffer
}

func (t *tail) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	const most = 8 << 10
	t.kept.Write(b)
	if over := t.kept.Len() - most; over > 0 {
		t.kept.Next(over)
	}
	return len(b), nil
}

func (t *tail) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.kept.String()
}
