package simrun

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"

	"bedwalk/sync/sim"
)

// driver is the script that runs the phone's modules, from the repo's root.
const driver = "pwa/tools/phone/phones.mjs"

// phones is a Node process in which the phones' apps run. It runs one day after another.
type phones struct {
	process *exec.Cmd
	in      *json.Encoder
	out     *bufio.Reader
	stdin   io.Closer
	fault   string
}

// startPhones starts one, whose modules are without a planted fault.
func startPhones() (*phones, error) {
	root, err := repo()
	if err != nil {
		return nil, err
	}
	// One thread: the phones do one thing at a time.
	process := exec.Command("node", "--single-threaded", driver)
	process.Dir, process.Stderr = root, os.Stderr
	in, err := process.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := process.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := process.Start(); err != nil {
		return nil, fmt.Errorf("start the phones: %w; the simulator runs their real modules and needs Node 20 on the PATH", err)
	}
	p := &phones{process: process, in: json.NewEncoder(in), out: bufio.NewReaderSize(out, 1<<20), stdin: in}
	p.in.SetEscapeHTML(false)
	var ready struct{ Ready bool }
	if err := p.hear(&ready); err != nil || !ready.Ready {
		return nil, errors.Join(fmt.Errorf("the phones do not start (%w); run npm ci, then again", err), p.Close())
	}
	return p, nil
}

// plant lets all days from now on run on modules with a planted fault, "" for none. Its error is a fault of that name that
// does not exist, or that finds its place in the modules no more.
func (p *phones) plant(fault string) error {
	if p.fault == fault {
		return nil
	}
	var told struct{ Wrong []string }
	err := p.in.Encode(map[string]string{"do": "plant", "reason": fault})
	if err == nil {
		err = p.hear(&told)
	}
	if err == nil && len(told.Wrong) > 0 {
		err = errors.New(told.Wrong[0])
	}
	if err != nil {
		return fmt.Errorf("plant %q into the phones: %w", fault, err)
	}
	p.fault = fault
	return nil
}

// Do implements sim.Apps.
func (p *phones) Do(c sim.Command) (sim.Reply, error) {
	var reply sim.Reply
	if err := p.in.Encode(c); err != nil {
		return reply, err
	}
	return reply, p.hear(&reply)
}

func (p *phones) hear(into any) error {
	line, err := p.out.ReadBytes('\n')
	if err != nil {
		return fmt.Errorf("the phones' process has ended: %w", err)
	}
	return json.Unmarshal(line, into)
}

func (p *phones) Close() error { return errors.Join(p.stdin.Close(), p.process.Wait()) }

// repo finds the repo's root above the working folder: only there are the phone's sources.
func repo() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for at := dir; ; at = filepath.Dir(at) {
		if _, err := os.Stat(filepath.Join(at, driver)); err == nil {
			return at, nil
		}
		if at == filepath.Dir(at) {
			return "", fmt.Errorf("%s is not in Bedwalk's repo, whose phone is simulated from its sources; change into the repo and run it there", dir)
		}
	}
}
