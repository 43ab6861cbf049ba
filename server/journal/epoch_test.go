package journal_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// setBackWhole puts back an earlier copy of the database and leaves what lies beside it as it was then: the server has
// nothing to tell by that it was set back.
func (b *bench) setBackWhole(copied string, head int64) {
	b.Helper()
	if err := os.WriteFile(filepath.Join(b.dir, journal.HeadFile), []byte(fmt.Sprintf("%019d\n", head)), 0o600); err != nil {
		b.Fatal(err)
	}
	b.restoreFrom(copied)
}

// proofAt is the proof of the cursor at a position.
func (b *bench) proofAt(position int) string {
	b.Helper()
	return journal.ProofOf(b.pullAll()[position-1], b.receipts()[position-1])
}

// asks pulls after a cursor with its proof, and gives where the phone is led to.
func (b *bench) asks(device string, after int64, proof string) *schema.Problem {
	b.Helper()
	_, err := b.store.Pull(b.Context(), device, b.store.Epoch(), after, 0, proof)
	return b.rewind(err)
}

func TestACursorPastTheEndBeginsAnEpochOnlyWithProofAndOncePerHour(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	copied := b.backup()
	for row := range 4 {
		p.See(n, row+1, 1, 200, 40)
	}
	b.push(p.All(9))
	proofs := map[int]string{}
	for _, at := range []int{8, 9, 10, 11, 12} {
		proofs[at] = b.proofAt(at)
	}
	old := b.store.Epoch()
	b.setBackWhole(copied, 8)
	if b.store.Epoch() != old {
		t.Fatal("the server knew by itself")
	}
	for range 100 {
		for _, proof := range []string{"", proofs[8], proofs[9] + "x", proofs[10][:32] + proofs[9][32:]} {
			if r := b.asks("liar", 9, proof); *r.ForkedAt != 8 || r.Epoch != old {
				t.Fatalf("%+v", r)
			}
		}
		if r := b.asks("liar", 1<<40, proofs[12]); *r.ForkedAt != 8 || r.Epoch != old {
			t.Fatalf("%+v", r)
		}
	}
	if b.incidents("cursor_unproven") != 1 || b.incidents("journal_lost_entries") != 0 {
		t.Errorf("incidents: %d, %d", b.incidents("cursor_unproven"), b.incidents("journal_lost_entries"))
	}
	r := b.asks("b", 9, proofs[9])
	if *r.ForkedAt != 8 || r.Epoch == old || b.incidents("journal_lost_entries") != 1 {
		t.Fatalf("with proof: %+v", r)
	}
	began := r.Epoch
	for _, at := range []int{9, 10, 11, 12} {
		if r := b.asks("c", int64(at), proofs[at]); *r.ForkedAt != 8 || r.Epoch != began {
			t.Fatalf("within the hour: %+v", r)
		}
	}
	b.clock = b.clock.Add(61 * time.Minute)
	if r := b.asks("c", 9, proofs[9]); r.Epoch != began {
		t.Errorf("what was known to be lost began another epoch")
	}
	if r := b.asks("c", 12, proofs[12]); r.Epoch == began {
		t.Errorf("an hour later a proof of more begins no epoch")
	}
}

func TestNothingIsLostWhenTheServerIsSetBackTwiceWithinTheHour(t *testing.T) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	b.push(p.All(1))
	copied := b.backup()
	for row := range 4 {
		q.See(n, row+1, 1, 200, 40)
	}
	for range 2 {
		b.push(q.All(1))
		h, proof := b.handBackFrom(9), b.proofAt(12)
		b.setBackWhole(copied, 8)
		// What the writer knows it by is how much of it is acknowledged; what a phone does that has read on, it is told.
		if r := b.asks("c", 12, proof); *r.ForkedAt != 8 {
			t.Fatalf("%+v", r)
		}
		if _, high, _, err := b.store.Writer(t.Context(), "b"); err != nil || high != 0 {
			t.Fatalf("%d of the writer's notes are acknowledged, %v", high, err)
		}
		if got := b.handBack("c", h); got.Merged != 4 {
			t.Fatalf("%+v", got)
		}
		if answer := b.push(q.All(1)); states(answer) != "merged merged merged merged" || b.store.Head() != 12 {
			t.Fatalf("%+v with head %d", answer, b.store.Head())
		}
		b.sound()
		b.setBackWhole(copied, 8)
	}
}

func TestTheHistoryOfEpochsIsBoundedAndAForgottenOneReadsFromTheBeginning(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	copied, first := b.backup(), b.store.Epoch()
	var names []string
	for i := range 80 {
		p.Note("note", "", "", schema.Note{Words: fmt.Sprint(i)})
		b.push(p.All(9))
		p.Raw, p.Chains = p.Raw[:8], p.Chains[:8]
		b.restoreFrom(copied)
		names = append(names, b.store.Epoch())
	}
	raw, err := os.ReadFile(filepath.Join(b.dir, journal.SidecarFile))
	var kept []journal.Epoch
	if err == nil {
		err = json.Unmarshal(raw, &kept)
	}
	if err != nil || len(kept) != 64 || kept[63].Epoch != b.store.Epoch() {
		t.Fatalf("%d epochs are kept, %v", len(kept), err)
	}
	if r := b.rewound(first, 8); *r.ForkedAt != 0 {
		t.Errorf("a forgotten epoch goes on from %d", *r.ForkedAt)
	}
	// Each of these began from the same backup, so they share what it has, and no more.
	for _, name := range names[20:79] {
		if r := b.rewound(name, 20); *r.ForkedAt != 8 && *r.ForkedAt != 0 {
			t.Errorf("epoch %s goes on from %d", name, *r.ForkedAt)
		}
	}
	b.push(p.All(1))
	b.sound()
}

func TestAlongOneLineOfHistoryForkPointsStayRightWhenTheOldestIsForgotten(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	type epoch struct {
		name string
		head int64
	}
	var all []epoch
	for i := range 80 {
		copied := b.backup()
		head := b.store.Head()
		// A note that is lost, and one in its place.
		before := len(p.Raw)
		p.See(n, 1+i%10, 1, 200, 40)
		b.push(p.All(before + 1))
		all = append(all, epoch{b.store.Epoch(), head})
		b.restoreFrom(copied)
		p.Raw, p.Chains = p.Raw[:before], p.Chains[:before]
		p.Note("note", "", "", schema.Note{Words: fmt.Sprint(i)})
		b.push(p.All(before + 1))
	}
	for i, one := range all {
		want := one.head
		if i < len(all)-63 {
			want = 0
		}
		if r := b.rewound(one.name, 10000); *r.ForkedAt != want {
			t.Errorf("epoch %d of %d goes on from %d, want %d", i+1, len(all), *r.ForkedAt, want)
		}
	}
}
