package view_test

import (
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// A bed that is no longer used is on no list as long as nothing stands on it; one on which a lot is put all the same is shown again, so
// that no pot is hidden.
func TestARetiredBedIsShownOnlyWhileALotStandsOnIt(t *testing.T) {
	o, p := newOffice(t), testphone.New("1111111111111111")
	n := p.Plant()
	o.push(p)
	write := func(kind, lot, bed string, body any) {
		sent := len(p.Raw)
		p.Note(kind, lot, bed, body)
		o.pushFrom(p, sent+1)
	}
	shown := func() (beds, houses, tomorrow int) {
		v, err := o.desk.Beds(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range v.Houses {
			beds += len(h.Beds)
		}
		w, err := o.desk.Tomorrow(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return beds, len(v.Houses), len(w.Walks)
	}
	write("bed", "", n.Bed, schema.Bed{Writes: schema.Writes{Of: n.Bed}, Retired: new(true)})
	if beds, houses, tomorrow := shown(); beds != 1 || houses != 1 || tomorrow != 1 {
		t.Errorf("with a lot on it: %d beds, %d houses, %d walks", beds, houses, tomorrow)
	}
	write("span", n.Lot, n.Bed, schema.Span{Writes: schema.Writes{Of: n.Span}, Lot: &n.Lot, Bed: &n.Bed, Ended: new(true)})
	if beds, houses, tomorrow := shown(); beds != 0 || houses != 1 || tomorrow != 0 {
		t.Errorf("empty: %d beds, %d houses, %d walks", beds, houses, tomorrow)
	}
	write("house", "", "", schema.House{Writes: schema.Writes{Of: n.House}, Retired: new(true)})
	if _, houses, _ := shown(); houses != 0 {
		t.Errorf("%d houses", houses)
	}
}

// A sheet that was brought in by mistake is struck out as one: nothing of it is left in any list.
func TestWhatWasStruckOutAltogetherIsInNoList(t *testing.T) {
	o, p := newOffice(t), testphone.New("1111111111111111")
	house, bed, lot := testphone.ID("other house"), testphone.ID("other bed"), testphone.ID("other lot")
	p.Plant()
	at := len(p.Raw)
	ids := []string{
		p.Note("house", "", "", schema.House{Writes: schema.Writes{Of: house}, Name: new("West")}),
		p.Note("bed", "", bed, schema.Bed{Writes: schema.Writes{Of: bed}, House: &house, Name: new("W1"), Rows: new(10), Across: new(5)}),
		p.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, Tag: new("W-1")}),
	}
	o.push(p)
	list := func() (houses, beds, lots, names int) {
		v, err := o.desk.Beds(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range v.Houses {
			beds += len(h.Beds)
		}
		l, err := o.desk.Lots(t.Context(), view.LotsAsk{})
		if err != nil {
			t.Fatal(err)
		}
		n, err := o.desk.Names(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return len(v.Houses), beds, len(l.Lots), len(n.Beds)
	}
	if houses, beds, lots, names := list(); houses != 2 || beds != 2 || lots != 2 || names != 2 {
		t.Fatalf("%d houses, %d beds, %d lots, %d names", houses, beds, lots, names)
	}
	for i, records := range []string{"house:" + house, "bed:" + bed, "lot:" + lot} {
		p.Note("void", []string{"", "", lot}[i], []string{"", bed, ""}[i], schema.Void{Names: ids[i], Records: []string{records}, Why: "mistake"})
	}
	o.pushFrom(p, at+len(ids)+1)
	if houses, beds, lots, names := list(); houses != 1 || beds != 1 || lots != 1 || names != 1 {
		t.Errorf("struck out: %d houses, %d beds, %d lots, %d names", houses, beds, lots, names)
	}
}
