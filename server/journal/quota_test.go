package journal_test

import (
	"context"
	"errors"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

func TestAPhoneFillsItsShareOfTheQuarantineAndNoMoreAndLosesNothing(t *testing.T) {
	for _, revoked := range []bool{true, false} {
		b, good := newBench(t), testphone.New("a")
		n := good.Plant()
		b.push(good.All(1))
		b.stop()
		b.quota = journal.Quota{Notes: 20, Bytes: 20_000}
		b.start()
		p := testphone.New("b")
		for range 30 {
			p.See(n, 1, 1, 4000, 40)
		}
		send := func(from, to int) error {
			_, err := b.store.Push(context.Background(), p.Batch(from, to), journal.Sender{Device: "b", Revoked: revoked})
			return err
		}
		if err := send(1, 20); err != nil {
			t.Fatal(err)
		}
		for range 3 {
			err := send(21, 25)
			var refusal *schema.Problem
			if !errors.As(err, &refusal) || refusal.Code != journal.CodeQuarantineFull {
				t.Fatalf("revoked %v: got %v", revoked, err)
			}
		}
		if some, all, err := b.store.Incidents(t.Context(), 9); err != nil || all != 1 || some[0].Code != journal.CodeQuarantineFull || some[0].Count != 3 {
			t.Fatalf("%+v, %v", some, err)
		}
		// What was refused is still to be had, and others go on.
		if _, high, _, err := b.store.Writer(t.Context(), "b"); err != nil || high != 20 {
			t.Fatalf("the server has %d, %v", high, err)
		}
		good.See(n, 1, 1, 200, 40)
		b.push(good.All(9))
		if err := send(15, 20); err != nil {
			t.Fatalf("a repeat of what is there: %v", err)
		}
		held, err := b.store.Quarantine(t.Context(), 100)
		if err != nil || len(held) != 20 {
			t.Fatalf("%d wait, %v", len(held), err)
		}
		for _, one := range held[:6] {
			if err := b.store.DecideShown(t.Context(), one.ID(), false, good.Person); err != nil {
				t.Fatal(err)
			}
		}
		if err := send(21, 25); (err == nil) == revoked {
			t.Fatalf("after six decisions, revoked %v: %v", revoked, err)
		}
		b.sound()
	}
}

func TestTheBytesOfTheQuarantineAreBoundedToo(t *testing.T) {
	b, p := newBench(t), testphone.New("b")
	large := make([]byte, 1<<20)
	for i := range large {
		large[i] = 'x'
	}
	large[0], large[len(large)-1] = '"', '"'
	var err error
	sent := 0
	for err == nil && sent < 100 {
		sent++
		p.WriteRaw(large)
		_, err = b.store.Push(context.Background(), p.Batch(sent, sent), journal.Sender{Device: "b", Revoked: true, Role: schema.RoleScout})
	}
	if sent != 33 {
		t.Fatalf("%d MB were taken (%v), want 32", sent-1, err)
	}
}

func TestFiveHundredBadNotesHideNoHonestOneAndAreDecidedAtOnce(t *testing.T) {
	b, honest := newBench(t), testphone.New("a")
	n := honest.Plant()
	b.push(honest.All(1))
	honest.See(n, 1, 1, 4000, 40)
	b.push(honest.All(9))
	liar := testphone.New("b")
	for range 500 {
		liar.See(n, 1, 1, 4000, 40)
	}
	liar.See(n, 1, 1, 200, 40)
	b.push(liar.Batch(1, 250))
	if _, err := b.store.Push(t.Context(), liar.All(251), journal.Sender{Device: "b", Revoked: true}); err != nil {
		t.Fatal(err)
	}
	held, err := b.store.Quarantine(t.Context(), 200)
	if err != nil || len(held) != 200 || held[0].Device != "b" || held[1].Device != "a" {
		t.Fatalf("%d are listed, %v; want the honest one beside the newest", len(held), err)
	}
	var waiting []schema.QuarantineCount
	if err := b.store.Read(t.Context(), func(snap *journal.Snapshot) error {
		waiting, err = snap.QuarantineByDevice(10)
		return err
	}); err != nil || len(waiting) != 2 || waiting[0].Count != 501 || waiting[1].Device != "a" {
		t.Fatalf("%+v, %v", waiting, err)
	}
	all := schema.DecideAll{Device: "b", UpTo: waiting[0].UpTo, Decision: "merge"}
	liar.See(n, 1, 1, 4000, 40)
	if _, err := b.store.Push(t.Context(), liar.All(502), journal.Sender{Device: "b", Revoked: true}); err != nil {
		t.Fatal(err)
	}
	if d, err := b.store.DecideAll(t.Context(), all, honest.Person); err != nil || d.Decided != 1 || d.Quarantined != 500 {
		t.Fatalf("%+v, %v; want the one good note of the revoked phone merged", d, err)
	}
	all.Decision = "leave"
	if d, err := b.store.DecideAll(t.Context(), all, honest.Person); err != nil || d.Decided != 500 || d.Quarantined != 0 {
		t.Fatalf("%+v, %v", d, err)
	}
	if held, err = b.store.Quarantine(t.Context(), 200); err != nil || len(held) != 2 {
		t.Fatalf("%d wait, %v; want the honest one and the one that came since", len(held), err)
	}
	b.sound()
}
