package journal_test

import (
	"fmt"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/sync/fold"
	canon "bedwalk/sync/journal"
)

// withRecordSums adds to a digest the sums of the records that the same notes make, lot by lot.
func (b *bench) withRecordSums(d schema.Digest, items []schema.Pulled) schema.Digest {
	made := tallyOf(b.T, items, func(string) bool { return true }).made
	var all canon.Sum
	for _, sum := range made {
		all = all.Add(sum)
	}
	d.Records = fold.Total(all)
	for i, lot := range d.Lots {
		d.Lots[i].RecordSum = made[lot.Lot].String()
	}
	return d
}

func TestADifferenceOfRecordsIsNarrowedToItsLot(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	other := testphone.ID("other lot")
	p.Note("lot", other, "", schema.Lot{Writes: schema.Writes{Of: other}, Tag: ptr("T-2")})
	p.See(n, 1, 1, 200, 40)
	b.push(p.All(1))
	items := b.pullAll()
	d := b.withRecordSums(digestOf(b, "b", items), items)
	if answer := b.compare(d); !answer.Equal || len(answer.RecordsDiffer) > 0 {
		t.Fatalf("equal records were answered %+v", answer)
	}
	for i, lot := range d.Lots {
		if lot.Lot == other {
			d.Lots[i].RecordSum = canon.Sum{7}.String()
		}
	}
	d.Records = fold.Total(canon.Sum{7})
	if answer := b.compare(d); answer.Equal || len(answer.Differ) > 0 || fmt.Sprint(answer.RecordsDiffer) != fmt.Sprint([]string{other}) || answer.More {
		t.Fatalf("answered %+v, want the records of %s to differ", answer, other)
	}
	// A lot of which the phone has records and the server none, and one of which it sent no sum.
	stray := testphone.ID("no lot of the server's")
	d.Lots = []schema.LotDigest{{Lot: stray, Sum: canon.Sum{}.String(), RecordSum: canon.Sum{1}.String()}}
	answer := b.compare(d)
	if all := strings.Join(answer.RecordsDiffer, " "); !strings.Contains(all, stray) || !strings.Contains(all, n.Lot) || !strings.Contains(all, other) {
		t.Fatalf("answered %+v", answer)
	}
}

func TestAnAnswerNamesAFewLotsAndSaysThatThereAreOthers(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	d := digestOf(b, "b", b.pullAll())
	for i := range schema.MaxDiffer + 1 {
		d.Lots = append(d.Lots, schema.LotDigest{Lot: testphone.ID(fmt.Sprint("lot", i)), Count: 1, Sum: canon.Sum{1}.String()})
	}
	answer := b.compare(d)
	if answer.Equal || len(answer.Differ) != schema.MaxDiffer || !answer.More {
		t.Fatalf("%d lots named, more: %v", len(answer.Differ), answer.More)
	}
	d.Lots = d.Lots[:len(d.Lots)-1]
	if answer := b.compare(d); len(answer.Differ) != schema.MaxDiffer || answer.More {
		t.Fatalf("%d lots named, more: %v", len(answer.Differ), answer.More)
	}
}

// Notes that a phone had counted and let go, and that an older backup does not have, once went unreported.
func TestAServerThatHasFewerNotesOfALotThanAPhoneCountedSaysSo(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	saved := b.backup()
	from := len(p.Raw) + 1
	for pot := range 3 {
		p.See(n, 1+pot, 1, 200, 40)
	}
	b.push(p.All(from))
	counted := digestOf(b, "b", b.pullAll())
	b.restoreFrom(saved)
	d := digestOf(b, "b", b.pullAll())
	for i, lot := range counted.Lots {
		if lot.Lot == n.Lot {
			for j := range d.Lots {
				if d.Lots[j].Lot == n.Lot {
					d.Lots[j] = counted.Lots[i]
				}
			}
		}
	}
	d.Records = ""
	// Who holds them all gives them back: that is no loss.
	if answer := b.compare(d); answer.Equal || b.incidents("fewer_than_counted") != 0 {
		t.Fatalf("answered %+v, with %d incidents", answer, b.incidents("fewer_than_counted"))
	}
	d.Device = "c"
	for i := range d.Lots {
		if d.Lots[i].Lot == n.Lot {
			d.Lots[i].Gone = d.Lots[i].Count
		}
	}
	b.compare(d)
	b.compare(d)
	all, _, err := b.store.Incidents(t.Context(), 10)
	if err != nil {
		t.Fatal(err)
	}
	const want = "lot T-1: this phone counted 6 notes, the server has 3."
	found := false
	for _, one := range all {
		found = found || one.Code == "fewer_than_counted" && one.Device == "c" && one.Detail == want && one.Count == 1
	}
	if !found {
		t.Fatalf("want %q among %+v", want, all)
	}
	// The phone takes the server's sums, but nobody has found the notes.
	equal := digestOf(b, "c", b.pullAll())
	if answer := b.compare(equal); !answer.Equal || b.incidents("fewer_than_counted") != 1 {
		t.Fatalf("answered %+v, with %d incidents", answer, b.incidents("fewer_than_counted"))
	}
}

// A phone whose notes went with an older backup reads all again: its digest is equal, and once nobody learned what it had counted.
func TestWhatAPhoneCountedBeforeItReadAllAgainIsTold(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	d := digestOf(b, "c", b.pullAll())
	none := testphone.ID("a lot that the server has lost whole")
	d.Lots = append(d.Lots, schema.LotDigest{Lot: none, Sum: canon.Sum{}.String(), Counted: 4})
	for i := range d.Lots {
		if d.Lots[i].Lot == n.Lot {
			d.Lots[i].Counted = d.Lots[i].Count
		}
	}
	if answer := b.compare(d); !answer.Equal {
		t.Fatalf("answered %+v", answer)
	}
	all, _, err := b.store.Incidents(t.Context(), 10)
	if err != nil {
		t.Fatal(err)
	}
	if want := "lot " + none + ": this phone counted 4 notes, the server has 0."; len(all) != 1 || all[0].Code != "fewer_than_counted" || all[0].Detail != want {
		t.Fatalf("want %q, got %+v", want, all)
	}
}
