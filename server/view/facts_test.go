package view_test

import (
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// The page counts the pots of the walk whose heads were only estimated from photos: their photos are among its facts however many came since.
func TestAPagesFactsHaveEveryPhotoThatAPotsHeadWasEstimatedFrom(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	pot := p.See(n, 2, 1, 300, 40)
	photo := func(of string, head *schema.PhotoHead) string {
		return p.Note("photo", n.Lot, n.Bed, schema.Photo{
			Lot: n.Lot, Bed: n.Bed, Pot: of, Hash: strings.Repeat("a", 64), Bytes: 1, WidePX: 3, HighPX: 4, Type: "image/jpeg", Head: head,
		})
	}
	head := &schema.PhotoHead{DiameterMM: 301, WithinMM: 12, DropMM: 60, CodeMM: 45}
	wanted := "fact:" + photo(pot, head)
	photo(pot, nil)
	photo(testphone.ID("pot of another walk"), head)
	const later = 300
	for range later {
		p.Note("note", n.Lot, n.Bed, schema.Note{Words: "dry at the door"})
	}
	o.push(p)
	bed, err := o.desk.Bed(t.Context(), n.Bed, "")
	if err != nil {
		t.Fatal(err)
	}
	if len(bed.Facts) != later+1 || bed.Facts[later].Key != wanted {
		t.Errorf("%d facts, the last is %s; want %d and %s", len(bed.Facts), bed.Facts[len(bed.Facts)-1].Key, later+1, wanted)
	}
}
