package view_test

import (
	"encoding/json"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// together puts what changed into what is held, as the page does.
func together(t interface{ Fatalf(string, ...any) }, held, change schema.BedsView) schema.BedsView {
	if change.Since == "" {
		return change
	}
	if change.Since != held.Version || len(change.Houses) > 0 {
		t.Fatalf("since %q of %q, %d houses", change.Since, held.Version, len(change.Houses))
	}
	all := change
	all.Since, all.Beds, all.Houses = "", nil, nil
	for _, h := range held.Houses {
		h.Beds = slices.Clone(h.Beds)
		for i, b := range h.Beds {
			if at := slices.IndexFunc(change.Beds, func(one schema.BedBrief) bool { return one.ID == b.ID }); at >= 0 {
				h.Beds[i] = change.Beds[at]
			}
		}
		all.Houses = append(all.Houses, h)
	}
	return all
}

func (o *office) bedsSince(version string) schema.BedsView {
	o.Helper()
	v, err := o.desk.Beds(o.Context(), version)
	if err != nil {
		o.Fatal(err)
	}
	return v
}

func TestOnlyTheBedsThatChangedSinceTheVersionThatIsNamedAreSent(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	second := testphone.ID("second bed")
	p.Note("bed", "", second, schema.Bed{Writes: schema.Writes{Of: second}, House: &n.House, Name: new("E2"), Rows: new(10), Across: new(5)})
	o.push(p)
	all := o.bedsSince("")
	if all.Version == "" || all.Since != "" || len(all.Houses) != 1 || len(all.Houses[0].Beds) != 2 {
		t.Fatalf("everything is %+v", all)
	}
	same := o.bedsSince(all.Version)
	if same.Version != all.Version || same.Since != all.Version || len(same.Beds)+len(same.Houses) > 0 {
		t.Errorf("nothing changed, and %+v is sent", same)
	}
	for i := range 12 {
		p.See(n, 1+i%10, 1+i%5, 300+i, 40)
	}
	o.push(p)
	change := o.bedsSince(all.Version)
	if len(change.Beds) != 1 || change.Beds[0].ID != n.Bed || change.Beds[0].Score == nil {
		t.Errorf("one bed changed, and %+v is sent", change.Beds)
	}
	raw, err := json.Marshal(change)
	if err != nil || len(raw) > 10_000 {
		t.Errorf("a change of one bed has %d bytes, %v", len(raw), err)
	}
	whole := o.bedsSince("")
	if have := together(t, all, change); asText(t, have) != asText(t, whole) {
		t.Errorf("with the change:\n%s\nwhole:\n%s", asText(t, have), asText(t, whole))
	}
	p.Note("house", "", "", schema.House{Writes: schema.Writes{Of: n.House}, Name: new("West")})
	o.push(p)
	for _, version := range []string{change.Version, "other.1", all.Version + "0", "x", "."} {
		if v := o.bedsSince(version); v.Since != "" || len(v.Houses) != 1 {
			t.Errorf("since %q, when the houses changed or nobody knows it, %+v is sent", version, v)
		}
	}
}

func TestAListHasTheLastSixWholeWalksOfABedAndItsPageAll(t *testing.T) {
	d, truth := desk(t)
	one, err := d.Bed(t.Context(), truth.GradientBed, "")
	if err != nil || len(one.Walks) < 7 {
		t.Fatalf("%d walks, %v", len(one.Walks), err)
	}
	var whole []string
	for _, w := range one.Walks {
		if w.Whole {
			whole = append(whole, w.Walk)
		}
	}
	var have []string
	for _, w := range one.Bed.Trend {
		have = append(have, w.Walk)
	}
	if want := whole[len(whole)-6:]; !slices.Equal(have, want) {
		t.Errorf("the list has %v, want %v", have, want)
	}
}

func asText(t *testing.T, v any) string {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}
