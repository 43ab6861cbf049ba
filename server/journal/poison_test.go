package journal_test

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	canon "bedwalk/sync/journal"
)

// nested is a value of some lists in each other.
func nested(levels int) json.RawMessage {
	return json.RawMessage(strings.Repeat("[", levels) + strings.Repeat("]", levels))
}

// largest is the largest integer that JavaScript counts without a gap (ECMAScript, Number.MAX_SAFE_INTEGER).
const largest = 9007199254740991

// mergedByAnOlderBuild puts a held entry into the journal by a supervisor's word as builds did that did not ask whether
// its records can be written.
func (b *bench) mergedByAnOlderBuild(device string, seq int64) {
	b.Helper()
	position := b.store.Head() + 1
	err := b.db.Write(b.Context(), func(tx *sql.Tx) error {
		var raw []byte
		var st schema.Stamp
		if err := tx.QueryRow(`select q.bytes, q.at, q.quality, q.at_from, q.at_to from quarantine q join writers w on w.n = q.writer
			where w.device = ? and q.seq = ?`, device, seq).Scan(&raw, &st.At, &st.Quality, &st.From, &st.To); err != nil {
			return err
		}
		e, err := canon.Parse(raw)
		if err != nil {
			return err
		}
		var lot int64
		var count int64
		var kept []byte
		if err := tx.QueryRow("select t.n, d.count, d.sum from registers t join digests d on d.lot = t.n where t.id = ?", e.Lot).Scan(&lot, &count, &kept); err != nil {
			return err
		}
		sum := canon.Sum(kept).Add(canon.Hash(raw, st))
		for _, one := range []struct {
			query string
			args  []any
		}{
			{`insert into notes select ?, unhex(id), writer, seq, ?, at, iif(quality = 'exact', 0, 1), at_from - at, at_to - at, received_at - at,
				0, 0, 0, 0, 0, 0, 0, bytes from quarantine where id = ?`, []any{position, lot, e.ID}},
			{`insert into entry_keys values (?, ?)`, []any{"stock:" + e.Lot, position}},
			{`update digests set count = ?, sum = ? where lot = ?`, []any{count + 1, sum[:], lot}},
			{`update quarantine set state = 'merged', position = ? where id = ?`, []any{position, e.ID}},
			// As in a journal of a build that kept no running hash.
			{`update meta set value = '' where name = 'order'`, nil},
			// And no sums of records.
			{`delete from record_sums`, nil},
			{`insert into meta values ('records_summed', '0')`, nil},
			// And nothing of what first pulls leave out.
			{`delete from staying`, nil},
			{`delete from leaving_sums`, nil},
			{`insert or replace into meta values ('entries_sorted', '0')`, nil},
		} {
			if _, err := tx.Exec(one.query, one.args...); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	b.restart()
	if err := b.store.SumRecords(b.Context()); err != nil {
		b.Fatal(err)
	}
}

func (b *bench) foundByVerify(words string) bool {
	b.Helper()
	found, err := journal.Verify(b.Context(), lite.Journal(b.db))
	if err != nil {
		b.Fatal(err)
	}
	return slices.ContainsFunc(found.Complaints, func(complaint string) bool { return strings.Contains(complaint, words) })
}

// equal fails unless a phone that pulled everything is told that it holds the same, records too.
func (b *bench) equal(device string) {
	b.Helper()
	b.clock = b.clock.Add(1e12)
	if answer := b.compare(digestOf(b, device, b.pullAll())); !answer.Equal {
		b.Errorf("a phone that pulled everything is answered %+v", answer)
	}
}

// A note nested as deep as an entry may be was merged, and its record, a level deeper, stopped every phone and answered
// every digest with 500; a register member 12 deep stopped its own phone's queue.
func TestWhatIsNestedAsDeepAsAnEntryMayBeStopsNobody(t *testing.T) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	p.Note("note", "", n.Bed, map[string]any{"words": "deep", "later": nested(14)})
	p.Note("bed", "", n.Bed, map[string]any{"of": n.Bed, "later": nested(14)})
	p.See(n, 1, 1, 200, 40)
	if got := states(b.push(p.All(1))); got != strings.Repeat("merged ", 10)+"merged" {
		t.Fatalf("got %s", got)
	}
	// Written apart, so that one value lies beside another.
	q.Note("bed", "", n.Bed, map[string]any{"of": n.Bed, "later": map[string]any{"x": nested(13)}})
	q.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "after"})
	if got := states(b.push(q.All(1))); got != "merged merged" {
		t.Fatalf("got %s", got)
	}
	b.equal("c")
	b.sound()
}

func TestANoteWithWhichARecordCouldNotBeWrittenIsHeldAndTheRestGoesOn(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	p.Note("count", n.Lot, "", map[string]any{"lot": n.Lot, "change": largest - 50, "reason": "found"})
	b.push(p.All(1))
	b.mergedByAnOlderBuild("a", 9)
	p.See(n, 1, 1, 200, 40)
	p.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Change: 5, Reason: "found"})
	p.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Change: -3, Reason: "culled"})
	p.See(n, 1, 2, 200, 40)
	answer := b.push(p.All(10))
	if got := states(answer); got != "merged quarantined merged merged" {
		t.Fatalf("got %s", got)
	}
	if fault := answer.Given[1].Faults[0]; fault.Code != schema.CodeUnwritable || fault.Sentence() == "" {
		t.Fatalf("held for %+v", fault)
	}
	if again := b.push(p.All(10)); states(again) != states(answer) {
		t.Fatalf("a repeat was answered %+v", again.Given)
	}
	held, err := b.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 1 || held[0].Faults[0].Code != schema.CodeUnwritable {
		t.Fatalf("the list of held entries is %+v, %v", held, err)
	}
	if err := b.store.Decide(t.Context(), held[0].N, true, p.Person); !errors.Is(err, journal.ErrNotMergeable) {
		t.Fatalf("deciding for it gave %v", err)
	}
	p.See(n, 2, 2, 200, 40)
	if got := states(b.push(p.All(14))); got != "merged" {
		t.Fatalf("the next note was %s", got)
	}
	b.equal("b")
	b.sound()
}

// What waits for a record may be merged by another's push, and must not fail that one.
func TestAHeldNoteThatWouldBreakARecordStaysHeldWhenWhatItWaitedForArrives(t *testing.T) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	span := testphone.ID("a later span")
	p.Note("count", n.Lot, "", map[string]any{"lot": n.Lot, "change": largest - 50, "reason": "found"})
	p.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Span: span, Change: 5, Reason: "found"})
	b.push(p.All(1))
	b.mergedByAnOlderBuild("a", 9)
	q.Note("span", n.Lot, n.Bed, map[string]any{"of": span, "lot": n.Lot, "bed": n.Bed})
	if got := states(b.push(q.All(1))); got != "merged" {
		t.Fatalf("got %s", got)
	}
	held, err := b.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 1 || held[0].Faults[0].Code != schema.CodeUnwritable {
		t.Fatalf("the list of held entries is %+v, %v", held, err)
	}
}

// Whoever merges all that a revoked phone sent merges the rest of it.
func TestANoteOfARevokedPhoneThatWouldBreakARecordStaysHeldWhenAllOfThePhoneIsMerged(t *testing.T) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	p.Note("count", n.Lot, "", map[string]any{"lot": n.Lot, "change": largest - 50, "reason": "found"})
	b.push(p.All(1))
	b.mergedByAnOlderBuild("a", 9)
	q.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Change: 5, Reason: "found"})
	q.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "the rest"})
	answer, err := b.store.Push(t.Context(), q.All(1), journal.Sender{Device: "b", Revoked: true})
	if err != nil || states(answer) != "review review" {
		t.Fatalf("answered %+v, %v", answer, err)
	}
	decided, err := b.store.DecideAll(t.Context(), schema.DecideAll{Device: "b", UpTo: 1 << 40, Decision: "merge"}, "me")
	if err != nil || decided != (schema.DecidedAll{Decided: 1, Quarantined: 1}) {
		t.Fatalf("deciding for all gave %+v, %v", decided, err)
	}
	held, err := b.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 1 {
		t.Fatalf("the list of held entries is %+v, %v", held, err)
	}
	if head := b.store.Head(); head != 10 {
		t.Fatalf("the journal has %d notes, want 10", head)
	}
}

func TestAFileWithARecordThatNobodyCanWriteServesAllTheRest(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	for range 2 {
		p.Note("count", n.Lot, "", map[string]any{"lot": n.Lot, "change": largest, "reason": "found"})
	}
	b.push(p.All(1))
	b.mergedByAnOlderBuild("a", 9)
	b.mergedByAnOlderBuild("a", 10)
	b.compare(digestOf(b, "b", b.pullAll()))
	if !b.foundByVerify("stock:" + n.Lot) {
		t.Error("verify calls a journal sound of which one record cannot be written")
	}
	p.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Change: 5, Reason: "found"})
	p.See(n, 1, 1, 200, 40)
	if got := states(b.push(p.All(11))); got != "merged merged" {
		t.Fatalf("notes that are not to blame were %s", got)
	}
	b.equal("b")
	if !b.foundByVerify("stock:" + n.Lot) {
		t.Error("verify calls a journal sound of which one record cannot be written")
	}
	var entry struct{ ID string }
	if err := json.Unmarshal(p.Raw[8], &entry); err != nil {
		t.Fatal(err)
	}
	p.Note("void", n.Lot, "", schema.Void{Names: entry.ID, Records: []string{"stock:" + n.Lot}, Why: "mistake"})
	if err := json.Unmarshal(p.Raw[9], &entry); err != nil {
		t.Fatal(err)
	}
	p.Note("void", n.Lot, "", schema.Void{Names: entry.ID, Records: []string{"stock:" + n.Lot}, Why: "mistake"})
	if got := states(b.push(p.All(13))); got != "merged merged" {
		t.Fatalf("striking it out was %s", got)
	}
	b.equal("b")
	b.sound()
	var pots int
	if err := b.store.Read(t.Context(), func(s *journal.Snapshot) error {
		record, _, err := s.Record("stock:" + n.Lot)
		pots = record.Stock.Pots
		return err
	}); err != nil || pots != 55 {
		t.Errorf("the lot has %d pots, want 55: %v", pots, err)
	}
}

// A supervisor's word lets in a value out of range, and nothing that phones file by or that a sum cannot hold.
func TestADecisionMergesNothingThatOthersCouldNotHold(t *testing.T) {
	for _, one := range []struct {
		name  string
		bad   func(*testphone.Phone, testphone.Nursery)
		merge bool
	}{
		{"a head of 4,000 mm", func(p *testphone.Phone, n testphone.Nursery) { p.See(n, 1, 1, 4000, 40) }, true},
		{"a count of 2^53 - 1 pots", func(p *testphone.Phone, n testphone.Nursery) {
			p.Note("count", n.Lot, "", map[string]any{"lot": n.Lot, "change": largest, "reason": "found"})
		}, false},
		{"a lot called __proto__", func(p *testphone.Phone, n testphone.Nursery) {
			p.Note("note", "__proto__", "", map[string]any{"words": "x"})
		}, false},
		{"no id", func(p *testphone.Phone, n testphone.Nursery) {
			e := p.Entry("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "x"})
			e.ID = "constructor"
			p.Write(e)
		}, false},
		{"a record with a key of 4,000 letters", func(p *testphone.Phone, n testphone.Nursery) {
			p.Note("void", "", n.Bed, map[string]any{"names": testphone.ID("x"), "records": []string{"pot:" + strings.Repeat("a", 4000)}, "why": "mistake"})
		}, false},
		{"no body", func(p *testphone.Phone, n testphone.Nursery) {
			raw, err := canon.Encode(p.Entry("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "x"}))
			if err != nil {
				panic(err)
			}
			var loose map[string]any
			if err := json.Unmarshal(raw, &loose); err != nil {
				panic(err)
			}
			delete(loose, "body")
			if raw, err = canon.Of(loose); err != nil {
				panic(err)
			}
			p.WriteRaw(raw)
		}, false},
	} {
		t.Run(one.name, func(t *testing.T) {
			b, p := newBench(t), testphone.New("a")
			n := p.Plant()
			one.bad(p, n)
			b.push(p.All(1))
			held, err := b.store.Quarantine(context.Background(), 10)
			if err != nil || len(held) != 1 {
				t.Fatalf("held %+v, %v", held, err)
			}
			switch err := b.store.Decide(t.Context(), held[0].N, true, p.Person); {
			case one.merge && err != nil:
				t.Fatal(err)
			case !one.merge && !errors.Is(err, journal.ErrNotMergeable):
				t.Fatalf("got %v, want a refusal", err)
			}
			b.equal("b")
			b.sound()
		})
	}
}
