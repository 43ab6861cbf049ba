package journal_test

import (
	"database/sql"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
	"bedwalk/sync/fold"
	canon "bedwalk/sync/journal"
)

// Once all records were hashed again for a new head, at most every 30 seconds: in between nothing was compared.
func TestRecordsAreComparedAtEveryNewHead(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	for pot := range 5 {
		from := len(p.Raw) + 1
		p.See(n, 1, 1+pot, 200, 40)
		b.push(p.All(from))
		d := digestOf(b, "b", b.pullAll())
		if answer := b.compare(d); !answer.Equal {
			t.Fatalf("equal records were answered %+v", answer)
		}
		d.Records = fold.Total(canon.Sum{1})
		if answer := b.compare(d); answer.Equal {
			t.Fatal("other records were answered as equal")
		}
	}
}

// forgetSums is a file as a build left it that kept no sums of records.
func (b *bench) forgetSums() {
	b.Helper()
	if err := b.db.Write(b.Context(), func(tx *sql.Tx) error {
		_, err := tx.Exec("delete from record_sums; delete from leaving_sums; delete from staying; delete from closed_lots; delete from closed_before; insert or replace into meta select 'entries_sorted', '0' from entries limit 1; insert or replace into meta select 'records_summed', '0' from records limit 1")
		return err
	}); err != nil {
		b.Fatal(err)
	}
	b.restart()
}

func TestSumsOfAnOlderFileAreMadeWhileNotesComeAndAfterEachKill(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	var pots []string
	for i := range 1200 {
		pots = append(pots, p.See(n, 1+i%10, 1+i%5, 150+i%90, 20))
	}
	for from := 1; from <= len(p.Raw); from += 400 {
		b.push(p.Batch(from, min(from+399, len(p.Raw))))
	}
	b.forgetSums()
	d := digestOf(b, "b", b.pullAll())
	d.Records = fold.Total(canon.Sum{1})
	if answer := b.compare(d); !answer.Equal {
		t.Fatal("records were compared with sums that are not there yet")
	}
	killed := errors.New("killed")
	steps := 0
	for done := false; !done; {
		// Between two steps a note comes that changes a record which is in the sums or is still to be added, and one that makes another.
		b.hooks.Summed = func() error { return killed }
		b.restart()
		err := b.store.SumRecords(t.Context())
		if done = err == nil; !done && !errors.Is(err, killed) {
			t.Fatal(err)
		}
		steps++
		from := len(p.Raw) + 1
		for _, pot := range []string{pots[steps], pots[len(pots)-steps], pots[600+steps]} {
			p.Note("void", n.Lot, n.Bed, schema.Void{Names: pot, Records: []string{"pot:" + pot}, Why: "mistake"})
		}
		p.See(n, 2, 2, 220, 30)
		b.push(p.All(from))
		b.sound()
	}
	if steps < 3 {
		t.Fatalf("done after %d steps, which tries nothing", steps)
	}
	b.equal("b")
	d = digestOf(b, "b", b.pullAll())
	d.Records = fold.Total(canon.Sum{1})
	if answer := b.compare(d); answer.Equal {
		t.Fatal("other records were answered as equal")
	}
}

// Whatever comes in whatever order, the kept sums are those of the records folded again from all entries (Verify), and those
// that a phone computes from what it pulled.
func TestKeptSumsEqualSumsFromScratch(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := newBenchFor(t, r)
		d := &summing{bench: b, r: r, phones: []*testphone.Phone{testphone.New("a"), testphone.New("b"), testphone.New("c")}, sent: map[string]int{}}
		d.nursery = d.phones[0].Plant()
		d.push(0)
		moves := map[string]func(){
			"write": d.write, "push": func() { d.push(rapid.IntRange(0, 2).Draw(r, "phone")) }, "decide": d.decide, "back up": d.save,
			"restore": d.restore, "restart": b.restart, "rebuild": d.rebuild,
		}
		for range rapid.IntRange(3, 12).Draw(r, "moves") {
			moves[rapid.SampledFrom([]string{"write", "write", "write", "push", "push", "decide", "back up", "restore", "restart", "rebuild"}).Draw(r, "move")]()
		}
		for phone := range d.phones {
			d.push(phone)
		}
		d.rebuilt()
		b.sound()
		b.equal("d")
		if b.Failed() {
			r.FailNow()
		}
	})
}

// summing is what the property does to a bench.
type summing struct {
	*bench
	r       *rapid.T
	phones  []*testphone.Phone
	nursery testphone.Nursery
	// sent is each phone's last number at the server.
	sent  map[string]int
	pots  []string
	voids []string
	saved string
	then  map[string]int
}

func (d *summing) write() {
	p, n := d.phones[rapid.IntRange(0, 2).Draw(d.r, "writer")], d.nursery
	some := func(of []string) string {
		if len(of) == 0 {
			return testphone.ID("not yet here")
		}
		return rapid.SampledFrom(of).Draw(d.r, "of")
	}
	switch rapid.IntRange(0, 8).Draw(d.r, "kind") {
	case 0, 1:
		d.pots = append(d.pots, p.See(n, rapid.IntRange(1, 10).Draw(d.r, "row"), 1, 200, 40))
	case 2:
		pot := some(d.pots)
		p.Note("correction", n.Lot, n.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: n.Pot(1, 1, rapid.IntRange(100, 300).Draw(d.r, "head"), 20)})
	case 3:
		pot := some(d.pots)
		d.voids = append(d.voids, p.Note("void", n.Lot, n.Bed, schema.Void{Names: pot, Records: []string{"pot:" + pot}, Why: "mistake"}))
	case 4:
		if len(d.voids) > 0 {
			p.Note("unvoid", n.Lot, n.Bed, schema.Unvoid{Names: some(d.voids), Records: []string{"pot:" + some(d.pots)}})
		}
	case 5:
		p.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Span: n.Span, Change: -1, Reason: "culled"})
	case 6:
		// Held for a fault: no bed is so long.
		d.pots = append(d.pots, p.See(n, 99, 1, 200, 40))
	case 7:
		// Held until its lot is there, which may come by another phone later.
		other := n
		other.Lot = testphone.ID("second lot")
		d.pots = append(d.pots, p.See(other, 1, 2, 200, 40))
	case 8:
		lot, tag := testphone.ID("second lot"), rapid.SampledFrom([]string{"T-2", "T-3"}).Draw(d.r, "tag")
		p.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, Tag: &tag})
	}
}

func (d *summing) push(phone int) {
	p := d.phones[phone]
	if from := d.sent[p.Device] + 1; from <= len(p.Raw) {
		d.bench.push(p.All(from))
		d.sent[p.Device] = len(p.Raw)
	}
}

func (d *summing) decide() {
	held, err := d.store.Quarantine(d.Context(), 10)
	if err != nil {
		d.Fatal(err)
	}
	for _, one := range held {
		err := d.store.Decide(d.Context(), one.N, rapid.Bool().Draw(d.r, "merge"), "me")
		if err != nil && !errors.Is(err, journal.ErrNotMergeable) {
			d.Fatal(err)
		}
	}
}

func (d *summing) save() {
	d.saved, d.then = d.backup(), map[string]int{}
	for device, n := range d.sent {
		d.then[device] = n
	}
}

// restore puts the backup back; the phones send again what it lacks.
func (d *summing) restore() {
	if d.saved == "" {
		return
	}
	d.restoreFrom(d.saved)
	d.sent = map[string]int{}
	for device, n := range d.then {
		d.sent[device] = n
	}
}

// rebuild begins the sums again, and stops somewhere.
func (d *summing) rebuild() {
	d.forgetSums()
	if rapid.Bool().Draw(d.r, "at once") {
		d.rebuilt()
	}
}

func (d *summing) rebuilt() {
	if err := d.store.SumRecords(d.Context()); err != nil {
		d.Fatal(err)
	}
}
