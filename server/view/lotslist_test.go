package view_test

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// lotsOf reads a list of lots to its end, page by page; between does something after each page.
func (o *office) lotsOf(ask view.LotsAsk, between func()) (all []schema.LotBrief, pages int) {
	o.Helper()
	for {
		page, err := o.desk.Lots(o.Context(), ask)
		if err != nil {
			o.Fatal(err)
		}
		if len(page.Lots) > 100 {
			o.Fatalf("%d lots on a page", len(page.Lots))
		}
		all = append(all, page.Lots...)
		pages++
		if ask.After = page.Next; ask.After == "" {
			return all, pages
		}
		between()
	}
}

func manyLots(o *office, p *testphone.Phone, count int) {
	for i := range count {
		id := testphone.ID(fmt.Sprint("lot ", i))
		crop := []string{"Azalea", "Hydrangea"}[i%2]
		p.Note("lot", id, "", schema.Lot{
			Writes: schema.Writes{Of: id}, Tag: new(fmt.Sprintf("T%d", i)), Crop: new(crop), Cultivar: new(fmt.Sprintf("Cultivar %d", i%7)), PotMM: new(100 + i%3),
		})
	}
	o.push(p)
}

func TestTheListOfLotsInPagesIsTheWholeListInEveryOrder(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	for i := range 12 {
		p.See(n, 1+i%10, 1+i%5, 300+i, 40)
	}
	manyLots(o, p, 230)
	none := func() {}
	// What each order means, written here by itself: a tag's number counts as one, as T2 before T10.
	number := func(l schema.LotBrief) int {
		var n int
		if _, err := fmt.Sscanf(l.Tag, "T%d", &n); err != nil {
			return -1
		}
		return n
	}
	tags := func(a, b schema.LotBrief) int { return cmp.Compare(number(a), number(b)) }
	orders := map[string]func(a, b schema.LotBrief) int{
		"":           func(a, b schema.LotBrief) int { return 0 },
		"cultivar":   func(a, b schema.LotBrief) int { return cmp.Compare(a.Cultivar, b.Cultivar) },
		"pot":        func(a, b schema.LotBrief) int { return cmp.Compare(a.PotMM, b.PotMM) },
		"uniformity": func(a, b schema.LotBrief) int { return cmp.Compare(known(a), known(b)) },
	}
	for sort, order := range orders {
		for _, down := range []bool{false, true} {
			all, pages := o.lotsOf(view.LotsAsk{Sort: sort, Down: down}, none)
			if len(all) != 231 || pages != 3 {
				t.Fatalf("by %q: %d lots on %d pages", sort, len(all), pages)
			}
			by := func(a, b schema.LotBrief) int {
				one := order(a, b)
				if sort == "" {
					one = tags(a, b)
				}
				if down {
					one = -one
				}
				return cmp.Or(one, tags(a, b))
			}
			if !slices.IsSortedFunc(all, by) {
				t.Errorf("by %q, down %v: not in order", sort, down)
			}
		}
	}
	page, err := o.desk.Lots(t.Context(), view.LotsAsk{Crop: "HYDRANGEA", Search: " cultivar 3 "})
	if err != nil || page.All != 231 || page.Count == 0 || page.Count != len(page.Lots) {
		t.Fatalf("%+v, %v", page, err)
	}
	for _, l := range page.Lots {
		if l.Crop != "Hydrangea" || l.Cultivar != "Cultivar 3" {
			t.Errorf("%+v is not of the filter", l)
		}
	}
}

// A lot whose last pots were shipped and whose place was ended is gone; one that nobody counted yet is not, nor one that still stands on a bed.
func TestLotsThatAreGoneCanBeLeftOut(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	manyLots(o, p, 2)
	here := func() (ids []string) {
		page, err := o.desk.Lots(t.Context(), view.LotsAsk{Here: true})
		if err != nil || page.All != 3 {
			t.Fatalf("%+v, %v", page, err)
		}
		for _, l := range page.Lots {
			ids = append(ids, l.ID)
		}
		return ids
	}
	stays := func(when string) {
		if !slices.Contains(here(), n.Lot) {
			t.Errorf("%s the lot is left out", when)
		}
	}
	stays("with its pots")
	p.Note("recount", n.Lot, "", schema.Recount{Lot: n.Lot, Span: n.Span, Counted: 0, Basis: map[string]int64{p.Device + ".1": 99}})
	o.push(p)
	stays("on its bed without a pot")
	p.Note("span", n.Lot, n.Bed, schema.Span{Writes: schema.Writes{Of: n.Span}, Ended: new(true)})
	o.push(p)
	if left := here(); slices.Contains(left, n.Lot) || len(left) != 2 {
		t.Errorf("left are %v", left)
	}
	whole, err := o.desk.Lots(t.Context(), view.LotsAsk{})
	if err != nil || len(whole.Lots) != 3 {
		t.Fatalf("%+v, %v", whole, err)
	}
	for _, l := range whole.Lots {
		if l.Gone != (l.ID == n.Lot) {
			t.Errorf("%+v", l)
		}
	}
}

func known(l schema.LotBrief) float64 {
	if l.Uniformity.Known {
		return l.Uniformity.Value
	}
	return -1
}

func TestLotsThatComeBetweenTwoPagesPushNoOtherOutOfThem(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	manyLots(o, p, 230)
	before, _ := o.lotsOf(view.LotsAsk{}, func() {})
	fresh := 0
	after, _ := o.lotsOf(view.LotsAsk{}, func() {
		for range 30 {
			fresh++
			id := testphone.ID(fmt.Sprint("fresh ", fresh))
			// Before the first, among all, and behind the last.
			tag := []string{"A", "T1", "Z"}[fresh%3] + fmt.Sprintf("-fresh-%d", fresh)
			p.Note("lot", id, "", schema.Lot{Writes: schema.Writes{Of: id}, Tag: &tag})
		}
		o.push(p)
	})
	old := slices.DeleteFunc(slices.Clone(after), func(l schema.LotBrief) bool { return strings.Contains(l.Tag, "fresh") })
	if asText(t, old) != asText(t, before) {
		t.Error("the lots that were there before are not each on one page, in their order")
	}
}

func TestTheHistoryOfALotInPagesIsAllThatWasNotedOfIt(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	for i := range 640 {
		p.Note("note", n.Lot, "", schema.Note{Lot: n.Lot, Words: fmt.Sprint("note ", i)})
	}
	o.push(p)
	lot, err := o.desk.Lot(t.Context(), n.Lot)
	if err != nil {
		t.Fatal(err)
	}
	page, seen := lot.History, map[string]bool{}
	for added := 0; ; added++ {
		for _, line := range page.Lines {
			if seen[line.Entry] {
				t.Fatalf("%s is there twice", line.Entry)
			}
			seen[line.Entry] = true
		}
		if page.Older == "" {
			break
		}
		p.Note("note", n.Lot, "", schema.Note{Lot: n.Lot, Words: fmt.Sprint("meanwhile ", added)})
		o.push(p)
		if page, err = o.desk.History(t.Context(), n.Lot, "", page.Older); err != nil {
			t.Fatal(err)
		}
		if len(page.Lines) > 100 {
			t.Fatalf("%d lines on a page", len(page.Lines))
		}
	}
	// The lot itself, its pots and all notes; those written meanwhile are newer than every page that followed.
	if len(seen) < 642 || len(seen) > 650 {
		t.Errorf("%d lines were shown", len(seen))
	}
}

func TestAPlaceThatIsNoneInTheListIsRefusedWithWhatToDo(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	manyLots(o, p, 130)
	page, err := o.desk.Lots(t.Context(), view.LotsAsk{Sort: "pot"})
	if err != nil {
		t.Fatal(err)
	}
	_, history := o.desk.History(t.Context(), n.Lot, "", "yesterday")
	refused := map[string]error{"before": history}
	for code, ask := range map[string]view.LotsAsk{
		"cursor": {After: "no cursor"}, "cursor ": {After: "e30"}, "cursor  ": {After: page.Next, Sort: "pots"}, "cursor   ": {After: page.Next, Sort: "pot", Search: "T1"}, "sort": {Sort: "color"},
	} {
		_, refused[code] = o.desk.Lots(t.Context(), ask)
	}
	for code, err := range refused {
		var problem *schema.Problem
		if !errors.As(err, &problem) || problem.Code != strings.TrimSpace(code) || problem.Status != 400 || problem.Remedy == "" {
			t.Errorf("%s: %v", code, err)
		}
	}
}
