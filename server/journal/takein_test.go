package journal_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
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
	taken, err := b.store.TakeIn(t.Context(), file, paired)
	if err != nil || taken != (journal.Taken{Merged: 2, Known: 1, Held: 2}) {
		t.Fatalf("taken in %+v, %v", taken, err)
	}
	again, err := b.store.TakeIn(t.Context(), file, paired)
	if err != nil || again != (journal.Taken{Known: 5}) {
		t.Fatalf("taken in again: %+v, %v", again, err)
	}
	// The phone is found after all, and sends by itself.
	if answer := b.push(p.All(9)); answer.High != 12 || b.store.Head() != 12 {
		t.Fatalf("answered %+v with head %d", answer, b.store.Head())
	}
	if held, _ := b.store.HeldCount(t.Context()); held != 1 {
		t.Fatalf("%d entries wait, want only the one that no phone vouches for", held)
	}
	b.sound()
}

// lost is a server that was set back to what one phone had planted, and a second phone's two notes that it thereby lost.
func lost(t *testing.T) (b *bench, notes []json.RawMessage) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	b.push(p.All(1))
	q.See(n, 1, 1, 200, 40)
	b.push(q.All(1))
	q.See(n, 2, 1, 200, 40)
	q.See(n, 3, 1, 200, 40)
	return b, q.Raw[1:]
}

func TestNotesOfAnotherPhoneAreHandedBackAsThatPhonesOwn(t *testing.T) {
	b, notes := lost(t)
	last := b.clock.UnixMilli()
	b.clock = b.clock.Add(time.Hour)
	h := schema.HandBack{Epoch: b.store.Epoch(), Entries: notes}
	for _, want := range []journal.Taken{{Merged: 2}, {Known: 2}} {
		if taken, err := b.store.HandBack(t.Context(), "c", h, paired); err != nil || taken != want {
			t.Fatalf("handed back %+v, %v; want %+v", taken, err, want)
		}
	}
	for _, item := range b.pullAll()[9:] {
		if !strings.Contains(string(item.Entry), `"device":"b"`) {
			t.Errorf("the note became somebody else's: %s", item.Entry)
		}
	}
	incidents, _, err := b.store.Incidents(t.Context(), 10)
	if err != nil || len(incidents) != 1 || incidents[0].Code != "handed_back" || incidents[0].Device != "c" {
		t.Fatalf("who gave them back is told %d times: %+v, %v", len(incidents), incidents, err)
	}
	reports, err := b.store.Reports(t.Context())
	if err != nil || reports["b"].At != last {
		t.Fatalf("b's own last report is of %d, %v", reports["b"].At, err)
	}
	b.sound()
}

func TestWhatIsHandedBackOfARevokedPhoneGoesToReview(t *testing.T) {
	b, notes := lost(t)
	h := schema.HandBack{Epoch: b.store.Epoch(), Entries: notes}
	taken, err := b.store.HandBack(t.Context(), "c", h, func(device string) journal.Sender {
		return journal.Sender{Device: device, Revoked: device == "b"}
	})
	if err != nil || taken != (journal.Taken{Held: 2}) {
		t.Fatalf("handed back %+v, %v", taken, err)
	}
	held, err := b.store.Held(t.Context(), 10)
	if err != nil || len(held) != 2 || held[0].State != "review" || held[0].WriterOf() != "b" {
		t.Fatalf("waiting: %+v, %v", held, err)
	}
}

func TestWhatNothingVouchesForWaitsUnderTheNameOfItsWriter(t *testing.T) {
	b, notes := lost(t)
	h := schema.HandBack{Epoch: b.store.Epoch(), Entries: notes[1:]}
	taken, err := b.store.HandBack(t.Context(), "c", h, paired)
	if err != nil || taken != (journal.Taken{Held: 1}) {
		t.Fatalf("handed back %+v, %v", taken, err)
	}
	held, err := b.store.Held(t.Context(), 10)
	if err != nil || len(held) != 1 || held[0].WriterOf() != "b" || held[0].Device == "b" {
		t.Fatalf("waiting: %+v, %v", held, err)
	}
}

func TestHandingBackIntoAnEpochThatIsOverIsToldWhereToGoOn(t *testing.T) {
	b, notes := lost(t)
	_, err := b.store.HandBack(t.Context(), "c", schema.HandBack{Epoch: "over", Entries: notes}, paired)
	var refusal *journal.Refusal
	if !errors.As(err, &refusal) || refusal.Code != journal.CodeRewind || refusal.Epoch != b.store.Epoch() {
		t.Fatalf("answered %v", err)
	}
	if b.store.Head() != 9 {
		t.Fatalf("the journal has %d entries", b.store.Head())
	}
}

func TestWhatBecameOfNotesKeptAsideIsTold(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	left, merged, waiting := p.See(n, 1, 1, 4000, 40), p.See(n, 2, 1, 4000, 40), p.See(n, 3, 1, 4000, 40)
	b.push(p.All(1))
	held, err := b.store.Held(t.Context(), 10)
	if err != nil || len(held) != 3 {
		t.Fatalf("%d held, %v", len(held), err)
	}
	if err := errors.Join(b.store.Decide(t.Context(), held[2].N, false, "me"), b.store.Decide(t.Context(), held[1].N, true, "me")); err != nil {
		t.Fatal(err)
	}
	notes, err := b.store.Aside(t.Context(), []string{left, merged, waiting, testphone.ID("nobody's")})
	var told []string
	for _, note := range notes {
		told = append(told, note.State)
	}
	if got := strings.Join(told, " "); err != nil || got != "left merged held" {
		t.Fatalf("told %q, %v", got, err)
	}
	if notes[0].ID != left || len(notes[2].Faults) == 0 || notes[2].Faults[0].Message == "" {
		t.Fatalf("told %+v", notes)
	}
}
