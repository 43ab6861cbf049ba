package journal_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// paired is how every device stands that was paired and not revoked.
func paired(device string) journal.Sender { return journal.Sender{Device: device} }

func TestTheNotesOfAFileAreTakenInOnce(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.Batch(1, 8))
	p.See(n, 1, 1, 200, 40)
	p.See(n, 2, 1, 200, 40)
	p.See(n, 3, 1, 200, 40)
	p.See(n, 4, 1, 200, 40)
	file := []json.RawMessage{p.Raw[7], p.Raw[8], p.Raw[9], p.Raw[11], []byte(`{"half":"a note"}`)}
	taken, err := b.store.Import(t.Context(), file, paired)
	if err != nil || taken != (journal.ImportResult{Merged: 2, Known: 1, Quarantined: 2}) {
		t.Fatalf("taken in %+v, %v", taken, err)
	}
	again, err := b.store.Import(t.Context(), file, paired)
	if err != nil || again != (journal.ImportResult{Known: 5}) {
		t.Fatalf("taken in again: %+v, %v", again, err)
	}
	// The phone is found after all, and sends by itself.
	if answer := b.push(p.All(9)); answer.High != 12 || b.store.Head() != 12 {
		t.Fatalf("answered %+v with head %d", answer, b.store.Head())
	}
	if held, _ := b.store.QuarantineCount(t.Context()); held != 1 {
		t.Fatalf("%d entries wait, want only the one that no phone vouches for", held)
	}
	b.sound()
}

func TestWhatBecameOfQuarantinedNotesIsReported(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	left, merged, waiting := p.See(n, 1, 1, 4000, 40), p.See(n, 2, 1, 4000, 40), p.See(n, 3, 1, 4000, 40)
	b.push(p.All(1))
	held, err := b.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 3 {
		t.Fatalf("%d held, %v", len(held), err)
	}
	if err := errors.Join(b.store.Decide(t.Context(), held[2].N, false, "me"), b.store.Decide(t.Context(), held[1].N, true, "me")); err != nil {
		t.Fatal(err)
	}
	notes, err := b.store.QuarantineStates(t.Context(), []string{left, merged, waiting, testphone.ID("nobody's")})
	var told []string
	for _, note := range notes {
		told = append(told, note.State)
	}
	if got := strings.Join(told, " "); err != nil || got != "left merged quarantined" {
		t.Fatalf("told %q, %v", got, err)
	}
	if notes[0].ID != left || len(notes[2].Faults) == 0 || notes[2].Faults[0].Sentence() == "" {
		t.Fatalf("told %+v", notes)
	}
}
