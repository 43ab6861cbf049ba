package view_test

import (
	"math"
	"path/filepath"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// office is a small nursery whose phones push into a real store.
type office struct {
	*testing.T
	store *journal.Store
	desk  *view.Views
	// at is the office's time, ms since 1970.
	at int64
}

func newOffice(t *testing.T) *office {
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(testphone.Ready(t), db.File)})
	if err != nil {
		t.Fatal(err)
	}
	o := &office{T: t, at: 1_000_000_100_000}
	now := func() time.Time { return time.UnixMilli(o.at) }
	store, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close(); d.Close() })
	o.store, o.desk = store, view.New(store, access.New(access.Options{Store: lite.Access(d), Dir: d.Dir(), Now: now}))
	return o
}

func (o *office) push(p *testphone.Phone) { o.Helper(); o.pushFrom(p, 1) }

func (o *office) pushFrom(p *testphone.Phone, from int) {
	o.Helper()
	answer, err := o.store.Push(o.Context(), p.All(from), journal.Sender{Device: p.Device})
	if err != nil {
		o.Fatal(err)
	}
	for i, given := range answer.Given {
		if given.State != "merged" {
			o.Fatalf("entry %d is %s: %+v", i+1, given.State, given.Faults)
		}
	}
}

func (o *office) scouts() schema.ScoutsView {
	o.Helper()
	v, err := o.desk.Scouts(o.Context())
	if err != nil {
		o.Fatal(err)
	}
	return v
}

var firstHeads = []int{280, 300, 330, 290, 310}

// asked plants the nursery, has its scout walk five pots, and asks anybody to look at them again.
func (o *office) asked() (first *testphone.Phone, n testphone.Nursery, round string) {
	first, round = testphone.New("1111111111111111"), testphone.ID("round")
	n = first.Plant()
	for i, mm := range firstHeads {
		first.See(n, 2*i+1, 1+i, mm, 40+i)
	}
	bed, walk := n.Bed, n.Walk
	first.Note("round", "", n.Bed, schema.Round{Writes: schema.Writes{Of: round}, Bed: &bed, Walk: &walk})
	o.push(first)
	return first, n, round
}

// looksAgain is a second look at the same pots, read by a factor of the first reader's sizes.
func looksAgain(p *testphone.Phone, n testphone.Nursery, round string, factor float64) {
	n.Walk = testphone.ID("again " + p.Device)
	body := schema.Walk{Walk: n.Walk, Bed: n.Bed, Planned: len(firstHeads), Round: round}
	for i := range firstHeads {
		body.Places = append(body.Places, schema.Place{Row: 2*i + 1, Across: 1 + i})
	}
	p.Note("walk", "", n.Bed, body)
	for i, mm := range firstHeads {
		p.See(n, 2*i+1, 1+i, int(math.Round(float64(mm)*factor)), 40+i)
	}
}

func TestARoundForAnybodyIsShownSoUntilSomebodyHasReadItAndThenUnderTheReader(t *testing.T) {
	o := newOffice(t)
	first, n, round := o.asked()
	v := o.scouts()
	if len(v.Rounds) != 1 || v.Rounds[0].By != "" || v.Rounds[0].First != first.Person || v.Rounds[0].Pots != 5 || v.Rounds[0].Result != nil {
		t.Fatalf("nobody has read it yet: %+v", v.Rounds)
	}
	second := testphone.New("2222222222222222")
	looksAgain(second, n, round, 1.1)
	second.Note("round", "", n.Bed, schema.Round{Writes: schema.Writes{Of: round}, Done: new(true)})
	o.push(second)
	v = o.scouts()
	if len(v.Rounds) != 1 || len(v.Agreements) != 1 {
		t.Fatalf("%d rounds, %d agreements", len(v.Rounds), len(v.Agreements))
	}
	one := v.Rounds[0]
	if one.By != second.Person || !one.Done || one.Rescored != 5 || one.Result == nil || math.Abs(one.Result.Bias.Value-0.1) > 0.002 {
		t.Errorf("read by one: %+v, %+v", one, one.Result)
	}
	bed, err := o.desk.Bed(t.Context(), n.Bed, "")
	if err != nil || len(bed.Walks) != 1 || bed.Walk != n.Walk {
		t.Errorf("the second look counts as a walk of the bed: %d walks, %v", len(bed.Walks), err)
	}
}

func TestTwoReadersOfOneRoundStandBesideEachOtherAndNeitherIsLost(t *testing.T) {
	o := newOffice(t)
	first, n, round := o.asked()
	// Both were out of range and took it; one reads a tenth larger, the other a twentieth smaller.
	readers := map[string]float64{}
	for device, factor := range map[string]float64{"2222222222222222": 1.1, "3333333333333333": 0.95} {
		p := testphone.New(device)
		looksAgain(p, n, round, factor)
		o.push(p)
		readers[p.Person] = factor - 1
	}
	v := o.scouts()
	if len(v.Rounds) != 2 || len(v.Agreements) != 2 {
		t.Fatalf("%d lines of rounds, %d agreements", len(v.Rounds), len(v.Agreements))
	}
	for _, one := range v.Rounds {
		want, known := readers[one.By]
		if !known || one.Round != round || one.First != first.Person || one.Rescored != 5 || math.Abs(one.Result.Bias.Value-want) > 0.003 {
			t.Errorf("%+v %+v", one, one.Result)
		}
		delete(readers, one.By)
	}
	for _, a := range v.Agreements {
		if a.A != first.Person && a.B != first.Person {
			t.Errorf("two second readers are compared by way of nobody: %+v", a)
		}
		if a.N != 5 || !a.Bias.Known || !a.ICC.Known {
			t.Errorf("have %+v", a)
		}
	}
}

func TestWhoReadsHisOwnPotsAgainAgreesWithNobody(t *testing.T) {
	o := newOffice(t)
	first, n, round := o.asked()
	again := testphone.New("4444444444444444")
	again.Person = first.Person
	looksAgain(again, n, round, 1.02)
	o.push(again)
	v := o.scouts()
	if len(v.Rounds) != 1 || v.Rounds[0].Rescored != 5 || v.Rounds[0].By != first.Person {
		t.Errorf("the reading is shown: %+v", v.Rounds)
	}
	if len(v.Agreements) != 0 {
		t.Errorf("one person is said to agree with himself: %+v", v.Agreements)
	}
}
