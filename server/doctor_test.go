package main

import (
	"os"
	"strings"
	"testing"
)

// printed is what a command writes to the terminal.
func printed(t *testing.T, run func() error) (text string, err error) {
	t.Helper()
	out, err := os.CreateTemp(t.TempDir(), "out")
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	terminal := os.Stdout
	os.Stdout = out
	err = run()
	os.Stdout = terminal
	raw, readErr := os.ReadFile(out.Name())
	if readErr != nil {
		t.Fatal(readErr)
	}
	return string(raw), err
}

func TestDoctorReadsARealNurseryBesideTheServerAndChangesNothing(t *testing.T) {
	data, p := serving(t)
	defer p.Close()
	before := p.store.Head()
	text, err := printed(t, func() error {
		c := doctorCommand{serveCommand{dataFlag: dataFlag{data}, Listen: "127.0.0.1:1"}}
		return c.Run(t.Context())
	})
	if err == nil || !strings.Contains(err.Error(), "to look at") {
		t.Errorf("a server that does not answer: %v", err)
	}
	for _, want := range []string{"ok    data folder: " + data + ", served by process", "ok    notes: ", "LOOK  backup: never made", "LOOK  port 127.0.0.1:1: the server runs and does not answer here", "      -> "} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if p.store.Head() != before || p.db.Present() != nil {
		t.Errorf("the journal went from %d to %d; %v", before, p.store.Head(), p.db.Present())
	}
}

func TestDoctorSaysWhichFlagsContradictEachOther(t *testing.T) {
	c := doctorCommand{serveCommand{dataFlag: dataFlag{t.TempDir()}, Office: true, Domain: []string{"beds.example"}}}
	if err := c.Run(t.Context()); err == nil || !strings.Contains(err.Error(), "choose one") {
		t.Errorf("got %v", err)
	}
}
