package journal_test

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

// asPushed compares every page of the journal with what a phone pushed.
func (b *bench) asPushed(t interface{ Fatalf(string, ...any) }, p *testphone.Phone) {
	at := 0
	for more, after := true, int64(0); more; {
		page, err := b.store.Pull(b.Context(), "d", b.store.Epoch(), after, 0, "")
		if err != nil {
			t.Fatalf("%v", err)
		}
		for _, item := range page.Items {
			if at == len(p.Raw) || !bytes.Equal(item.Entry, p.Raw[at]) {
				t.Fatalf("entry %d came back as %s", item.Position, item.Entry)
			}
			at, after = at+1, item.Position
		}
		more = page.More
	}
	if at != len(p.Raw) {
		t.Fatalf("%d of %d entries came back", at, len(p.Raw))
	}
}

func TestEveryPageHasTheBytesThatWerePushed(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b, p := newBenchFor(t, r), testphone.New("a")
		n := p.Plant()
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"$lot", "a,b", `"`, `\`, n.Lot, n.Bed, p.Person, "{}", ""}))
		leaf := rapid.OneOf(text.AsAny(), rapid.Int64Range(-1<<53+1, 1<<53-1).AsAny(), rapid.Bool().AsAny(), rapid.Just[any](nil))
		list := rapid.OneOf(leaf, rapid.SliceOfN(leaf, 0, 3).AsAny(), rapid.MapOfN(text, leaf, 0, 3).AsAny())
		from := 1
		for range rapid.IntRange(1, 4).Draw(r, "pushes") {
			for range rapid.IntRange(1, 8).Draw(r, "notes") {
				lot := rapid.SampledFrom([]string{"", n.Lot}).Draw(r, "lot")
				switch rapid.IntRange(0, 3).Draw(r, "what") {
				case 0:
					p.See(n, rapid.IntRange(1, 10).Draw(r, "row"), 1, 150, 20)
				case 1:
					p.Note("note", lot, n.Bed, schema.Note{Bed: n.Bed, Words: "x" + text.Draw(r, "words")})
				default:
					// Of a kind that a later build may know.
					p.Note(rapid.SampledFrom([]string{"later", "walked"}).Draw(r, "kind"), lot, "", rapid.MapOfN(text, list, 0, 5).Draw(r, "body"))
				}
			}
			b.push(p.All(from))
			from = len(p.Raw) + 1
			if rapid.Bool().Draw(r, "restart") {
				b.restart()
			}
		}
		if held, err := b.store.QuarantineCount(t.Context()); held > 0 || err != nil {
			r.Skip("what is in quarantine is in no page")
		}
		b.asPushed(r, p)
		if v, err := journal.Verify(t.Context(), lite.Journal(b.db)); err != nil || len(v.Complaints) > 0 {
			r.Fatalf("%v %v", v.Complaints, err)
		}
	})
}

// Somebody could send notes that have no two shapes alike. Then the file keeps bytes as they came, and no more shapes.
func TestTheFileHasSoManyShapesAndNoMore(t *testing.T) {
	const more = 200
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	for from := 1; len(p.Raw) < 4096+more; from = len(p.Raw) + 1 {
		for range 500 {
			p.Note("later", "", "", map[string]int{fmt.Sprint("field ", len(p.Raw)): 1})
		}
		b.push(p.All(from))
	}
	n := p.Plant()
	p.See(n, 1, 1, 150, 20)
	b.push(p.All(len(p.Raw) - 8))
	b.asPushed(t, p)
	if err := b.db.Read(t.Context(), func(tx *sql.Tx) error {
		var shapes, whole int
		err := tx.QueryRow("select (select count(*) from shapes), (select count(*) from notes where shape = 0)").Scan(&shapes, &whole)
		if shapes != 4096 || whole < more {
			t.Errorf("%d shapes, %d entries as they came", shapes, whole)
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
}

// A page with an entry that cannot be put together would be no JSON, and every phone would take the server for somebody else.
func TestAnEntryThatWasChangedInTheFileIsNamedAndNotSent(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	if err := b.db.Write(t.Context(), func(tx *sql.Tx) error {
		_, err := tx.Exec("update notes set walk = 7 where position = 3")
		return err
	}); err != nil {
		t.Fatal(err)
	}
	page, err := b.store.Pull(t.Context(), "d", b.store.Epoch(), 0, 0, "")
	if err == nil || !strings.Contains(err.Error(), "entry 3 was changed") || !strings.Contains(err.Error(), "bedwalk verify") {
		t.Fatalf("%d items, %v", len(page.Items), err)
	}
	// What does not need it goes on.
	p.Note("note", "", "", schema.Note{Words: "dry"})
	b.push(p.All(len(p.Raw)))
	if page, err = b.store.Pull(t.Context(), "d", b.store.Epoch(), 3, 0, ""); err != nil || len(page.Items) != len(p.Raw)-3 {
		t.Fatalf("%d items, %v", len(page.Items), err)
	}
}

// A row or a shape that another program took out of the file makes entries that are no bytes. A phone that sends such an entry again has not
// written another one under its number: it keeps its place, and is answered once the file is whole again.
func TestANoteThatIsDamagedInTheFileIsNotTakenForAnother(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	p.See(n, 1, 1, 150, 20)
	b.push(p.All(1))
	write := func(query string) {
		if err := b.db.Write(t.Context(), func(tx *sql.Tx) error {
			_, err := tx.Exec(query)
			return err
		}); err != nil {
			t.Fatal(err)
		}
	}
	inc, high, chain, err := b.store.Writer(t.Context(), p.Device)
	if err != nil {
		t.Fatal(err)
	}
	write("create table away as select * from shapes")
	write("delete from shapes")
	p.See(n, 2, 1, 150, 20)
	var told *schema.Problem
	_, err = b.store.Push(t.Context(), p.All(1), journal.Sender{Device: p.Device})
	if err == nil || errors.As(err, &told) || !strings.Contains(err.Error(), "entry 1 was changed") {
		t.Errorf("sent again: %v", err)
	}
	_, err = b.store.Import(t.Context(), []json.RawMessage{p.Raw[0]}, func(device string) journal.Sender { return journal.Sender{Device: device} })
	if err == nil || errors.As(err, &told) || !strings.Contains(err.Error(), "entry 1 was changed") {
		t.Errorf("imported: %v", err)
	}
	if i, h, c, err := b.store.Writer(t.Context(), p.Device); err != nil || i != inc || h != high || c != chain {
		t.Errorf("the phone stands at %d.%d %s, %v; it stood at %d.%d %s", i, h, c, err, inc, high, chain)
	}
	write("insert into shapes select * from away")
	write("drop table away")
	if got := states(b.push(p.All(1))); strings.Trim(got, " merged") != "" {
		t.Errorf("once it is whole again: %s", got)
	}
	b.asPushed(t, p)
}
