package journal_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// handBackFrom is what a phone can hand back that has pulled everything, from a position on.
func (b *bench) handBackFrom(position int) schema.HandBack {
	b.Helper()
	h, receipts := schema.HandBack{Epoch: b.store.Epoch()}, b.receipts()
	for _, item := range b.pullAll()[position-1:] {
		h.Entries = append(h.Entries, item.Entry)
		h.Receipts = append(h.Receipts, schema.Receipt{Position: item.Position, Stamp: item.Stamp, Receipt: receipts[item.Position-1]})
	}
	return h
}

func (b *bench) handBack(by string, h schema.HandBack) schema.HandedBack {
	b.Helper()
	h.Epoch = b.store.Epoch()
	got, err := b.store.HandBack(b.Context(), by, h)
	if err != nil {
		b.Fatal(err)
	}
	return got
}

func (b *bench) held() []journal.Quarantined {
	b.Helper()
	held, err := b.store.Quarantine(b.Context(), 10000)
	if err != nil {
		b.Fatal(err)
	}
	return held
}

// lost is a server that was set back to what one phone had planted and another's first note, and what a third phone can
// give back: that other one's second and third note.
func lost(t *testing.T) (b *bench, q *testphone.Phone, h schema.HandBack) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	b.push(p.All(1))
	q.See(n, 1, 1, 200, 40)
	b.push(q.All(1))
	copied := b.backup()
	q.See(n, 2, 1, 200, 40)
	q.See(n, 3, 1, 200, 40)
	b.push(q.All(2))
	h = b.handBackFrom(10)
	b.restoreFrom(copied)
	h.Epoch = b.store.Epoch()
	return b, q, h
}

func TestNotesOfAnotherPhoneAreHandedBackAsThatPhonesOwnWithTheirStamps(t *testing.T) {
	b, _, h := lost(t)
	last := b.clock.UnixMilli()
	b.clock = b.clock.Add(time.Hour)
	for _, want := range []string{"2 0 0", "0 2 0"} {
		if got := b.handBack("c", h); fmt.Sprint(got.Merged, got.Known, got.Quarantined) != want {
			t.Fatalf("handed back %+v; want %s", got, want)
		}
	}
	for i, item := range b.pullAll()[9:] {
		if !strings.Contains(string(item.Entry), `"device":"b"`) || item.Stamp != h.Receipts[i].Stamp {
			t.Errorf("the note became another: %s %+v", item.Entry, item.Stamp)
		}
	}
	incidents, _, err := b.store.Incidents(t.Context(), 10)
	if err != nil || b.incidents("handed_back") != 1 || incidents[0].Device != "c" {
		t.Fatalf("who gave them back is told: %+v, %v", incidents, err)
	}
	reports, err := b.store.Reports(t.Context())
	if err != nil || reports["b"].At != last {
		t.Fatalf("b's own last report is of %d, %v", reports["b"].At, err)
	}
	b.sound()
}

func TestAReceiptIsGoodAfterItsWriterWasRevokedAndSettlesWhatWaitsOfIt(t *testing.T) {
	b, q, h := lost(t)
	answer, err := b.store.Push(t.Context(), q.All(2), journal.Sender{Device: "b", Revoked: true})
	if err != nil || states(answer) != "review review" {
		t.Fatalf("%+v, %v", answer, err)
	}
	if got := b.handBack("c", h); got.Merged != 2 {
		t.Fatalf("handed back %+v", got)
	}
	if held := b.held(); len(held) != 0 {
		t.Errorf("still waiting: %+v", held)
	}
	if again := b.push(q.All(2)); states(again) != "merged merged" || again.Given[1].Position != 11 {
		t.Errorf("sent again: %+v", again)
	}
	b.sound()
}

func TestWhatWasDecidedToBeLeftOutStaysOut(t *testing.T) {
	b, _, h := lost(t)
	unproven := h
	unproven.Receipts = nil
	b.handBack("c", unproven)
	for _, held := range b.held() {
		if err := b.store.Decide(t.Context(), held.N, false, "me"); err != nil {
			t.Fatal(err)
		}
	}
	if got := b.handBack("c", h); got.Known != 2 || b.store.Head() != 9 {
		t.Fatalf("handed back %+v to %d", got, b.store.Head())
	}
}

func TestWhatNoReceiptVouchesForWaitsUnderTheNameOfItsWriter(t *testing.T) {
	b, q, h := lost(t)
	h.Receipts = nil
	if got := b.handBack("c", h); got.Quarantined != 2 {
		t.Fatalf("handed back %+v", got)
	}
	held := b.held()
	if len(held) != 2 || held[0].State != "review" || held[0].WriterOf() != "b" || held[0].Device == "b" {
		t.Fatalf("waiting: %+v", held)
	}
	if got := b.handBack("d", h); got.Known != 2 {
		t.Fatalf("handed back by another %+v", got)
	}
	// One is merged by a word of the supervisor's, the other because its own phone sends it after all.
	if err := b.store.Decide(t.Context(), held[1].N, true, "me"); err != nil {
		t.Fatal(err)
	}
	if answer := b.push(q.All(2)); states(answer) != "merged merged" || answer.High != 3 {
		t.Fatalf("its own push: %+v", answer)
	}
	if held := b.held(); len(held) != 0 || b.store.Head() != 11 {
		t.Errorf("still waiting: %+v; the journal has %d", held, b.store.Head())
	}
	b.sound()
}

func TestAForgedNoteUnderAnothersIDKeepsNobodysNoteOut(t *testing.T) {
	for name, arrive := range map[string]func(b *bench, q *testphone.Phone, h schema.HandBack) string{
		"sent by its own phone": func(b *bench, q *testphone.Phone, _ schema.HandBack) string { return states(b.push(q.All(2))) },
		"handed back": func(b *bench, _ *testphone.Phone, h schema.HandBack) string {
			return strings.Repeat("merged ", b.handBack("c", h).Merged)
		},
	} {
		t.Run(name, func(t *testing.T) {
			b, q, h := lost(t)
			forged := schema.HandBack{}
			for _, raw := range h.Entries {
				forged.Entries = append(forged.Entries, json.RawMessage(strings.Replace(string(raw), `"buds":40`, `"buds":4`, 1)))
			}
			b.handBack("liar", forged)
			if got := strings.TrimSpace(arrive(b, q, h)); got != "merged merged" {
				t.Errorf("the genuine notes are %q", got)
			}
			for _, held := range b.held() {
				if err := b.store.Decide(t.Context(), held.N, true, "me"); !errors.Is(err, journal.ErrNotMergeable) {
					t.Errorf("a forged note under a taken id was merged: %v", err)
				}
			}
			b.sound()
		})
	}
}

func TestAPhoneThatWroteOthersUnderNumbersThatWereHandedBackTakesANewIncarnationAndBothAreKept(t *testing.T) {
	b, q, h := lost(t)
	b.handBack("c", h)
	// The phone was set back too, and wrote on.
	copied := testphone.New("b")
	copied.WriteRaw(q.Raw[0])
	other := copied.Entry("note", "", "", schema.Note{Words: "something else"})
	other.ID = testphone.ID("something else")
	copied.Write(other)
	refusal := b.refused(copied.All(2))
	if refusal.Code != journal.CodeFork || *refusal.Incarnation != 2 || *refusal.High != 1 {
		t.Fatalf("%+v", refusal)
	}
	fresh := testphone.New("b")
	fresh.Inc = 2
	other.Incarnation, other.Seq = 2, 1
	fresh.Write(other)
	if answer := b.push(fresh.All(1)); states(answer) != "merged" || b.store.Head() != 12 {
		t.Fatalf("%+v with head %d", answer, b.store.Head())
	}
	b.sound()
}

func TestAStampOfATimeWhenTheServersClockWasAheadIsNotBroughtBack(t *testing.T) {
	b, _, h := lost(t)
	now := b.clock.UnixMilli()
	b.clock = b.clock.Add(-24 * time.Hour)
	b.restart()
	b.exec("delete from meta where name = 'clock'")
	b.restart()
	if got := b.handBack("c", h); got.Merged != 2 {
		t.Fatalf("%+v", got)
	}
	for _, item := range b.pullAll()[9:] {
		if item.Stamp.At >= now-12*3600*1000 || item.Stamp.Quality != schema.Bracketed {
			t.Errorf("stamped %+v", item.Stamp)
		}
	}
}

func TestAFloodOfHandBacksIsBoundedAndWhatIsRefusedIsNamed(t *testing.T) {
	b := newBench(t)
	liar := testphone.New("x")
	for i := range journal.MaxUnproven + 100 {
		liar.Note("note", "", "", schema.Note{Words: fmt.Sprint(i)})
	}
	refused := 0
	for from := 0; from < len(liar.Raw); from += 500 {
		got := b.handBack("c", schema.HandBack{Entries: liar.Raw[from:min(from+500, len(liar.Raw))]})
		refused += len(got.Refused)
		if got.Merged > 0 || got.Quarantined+len(got.Refused) != min(500, len(liar.Raw)-from) {
			t.Fatalf("%+v", got)
		}
	}
	if held := len(b.held()); held != journal.MaxUnproven || refused != 100 {
		t.Errorf("%d wait and %d were refused", held, refused)
	}
	if n := b.incidents("handed_back"); n > 10 {
		t.Errorf("%d incidents", n)
	}
	// It is of that phone alone.
	if got := b.handBack("d", schema.HandBack{Entries: liar.Raw[len(liar.Raw)-1:]}); got.Quarantined != 1 {
		t.Errorf("another phone's hand-back: %+v", got)
	}
	b.sound()
}

func TestReceiptsCannotBeGuessedAtWill(t *testing.T) {
	b, _, h := lost(t)
	guess := schema.HandBack{Entries: h.Entries[:1], Receipts: []schema.Receipt{h.Receipts[0]}}
	for i := range 1100 {
		guess.Receipts[0].Receipt = fmt.Sprintf("A%05d", i)
		if got := b.handBack("liar", guess); got.Merged != 0 {
			t.Fatalf("guess %d: %+v", i, got)
		}
	}
	// The right one does not help it any more; it helps an honest phone.
	honest := schema.HandBack{Entries: h.Entries[:1], Receipts: h.Receipts[:1]}
	if got := b.handBack("liar", honest); got.Merged != 0 {
		t.Errorf("after a thousand wrong guesses its receipts are still looked at: %+v", got)
	}
	if got := b.handBack("c", honest); got.Merged != 1 {
		t.Errorf("an honest phone: %+v", got)
	}
}

func TestBytesThatAreNoEntryWaitOnceEach(t *testing.T) {
	b := newBench(t)
	h := schema.HandBack{Entries: []json.RawMessage{[]byte(`{"half":"a note"}`), []byte(`"text"`), []byte(`[]`), []byte(`{"half":"a note"}`)}}
	if got := b.handBack("c", h); got.Quarantined != 3 || got.Known != 1 {
		t.Fatalf("%+v", got)
	}
	if got := b.handBack("c", h); got.Known != 4 {
		t.Fatalf("again: %+v", got)
	}
	b.sound()
}

func TestHandingBackIntoAnEpochThatIsOverAnswersWhereToContinue(t *testing.T) {
	b, _, h := lost(t)
	h.Epoch = "over"
	_, err := b.store.HandBack(t.Context(), "c", h)
	var refusal *schema.Problem
	if !errors.As(err, &refusal) || refusal.Code != journal.CodeRewind || refusal.Epoch != b.store.Epoch() {
		t.Fatalf("answered %v", err)
	}
	if b.store.Head() != 9 {
		t.Fatalf("the journal has %d entries", b.store.Head())
	}
}

func TestAServerWhoseKeyIsLostTakesEverythingForReview(t *testing.T) {
	b, _, h := lost(t)
	b.losesKeys(func() { b.writeKeys("") })
	if got := b.handBack("c", h); got.Merged != 0 || got.Quarantined != 2 {
		t.Fatalf("%+v", got)
	}
	for _, held := range b.held() {
		if err := b.store.Decide(t.Context(), held.N, true, "me"); err != nil {
			t.Fatal(err)
		}
	}
	if b.store.Head() != 11 {
		t.Errorf("the journal has %d entries", b.store.Head())
	}
	b.sound()
}

func TestTheEarlierKeyOfABackupStillVouches(t *testing.T) {
	b, _, h := lost(t)
	b.stop()
	b.writeKeys(strings.Repeat("77", 32))
	b.start()
	if got := b.handBack("c", h); got.Merged != 2 {
		t.Fatalf("%+v", got)
	}
}
