package view_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

func (o *office) day(ask view.DayAsk) schema.DayView {
	o.Helper()
	v, err := o.desk.Day(o.Context(), ask)
	if err != nil {
		o.Fatal(err)
	}
	return v
}

// said are the lines of a day in short, group by group.
func said(v schema.DayView) (all []string) {
	for _, g := range v.Groups {
		all = append(all, fmt.Sprintf("%s: %d walks, %d pots, %d notes", g.PersonName+g.Bed, g.Walks, g.Pots, g.Notes))
		for _, l := range g.Lines {
			what := l.Kind
			if w := l.Walk; w != nil {
				what = fmt.Sprintf("walk of %d, %d skipped, %d corrected, begun %v, ended %q", w.Pots, w.Skipped, w.Corrected, w.Started, w.End)
			}
			if l.Named != nil {
				what += " of a " + l.Named.Kind
			}
			all = append(all, fmt.Sprintf("  %s on %q of %q %s", what, l.Bed, l.Tag, l.Arrived))
		}
	}
	return all
}

// noted is an office of which Wren noted a walk and more on 1 July 2026, and Heron, whose phone was out of range until the third, a loss.
func noted(t *testing.T) (*years, testphone.Nursery, *testphone.Phone) {
	y := newYears(t)
	y.to("2026-06-29")
	n := y.phone.Plant()
	before := y.phone.See(n, 1, 1, 200, 20)
	y.send()
	y.to("2026-07-01")
	second := n
	second.Walk = testphone.ID("second walk")
	y.phone.StartWalk(second)
	for i := range 12 {
		y.phone.See(second, 1+i/5, 1+i%5, 300, 40)
	}
	y.phone.Note("skip", "", n.Bed, schema.Skip{Walk: second.Walk, Bed: n.Bed, Place: schema.Place{Row: 4, Across: 1}, Why: "wet"})
	y.phone.Note("correction", n.Lot, n.Bed, schema.Correction{Pot: before, Replaces: before, Now: n.Pot(1, 1, 210, 20)})
	y.phone.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: second.Walk, Bed: n.Bed, Why: "enough"})
	words := y.phone.Note("note", "", "", schema.Note{Words: "the fan hums"})
	y.phone.Note("void", "", "", schema.Void{Names: words, Records: []string{"fact:" + words}, Why: "mistake"})
	y.send()

	heron := testphone.New("2222222222222222")
	heron.Wall, heron.Session = y.phone.Wall, "heron"
	heron.Note("person", "", "", schema.Person{Writes: schema.Writes{Of: heron.Person}, Name: new("Heron"), Role: new("supervisor")})
	heron.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Span: n.Span, Change: -3, Reason: "lost_dry"})
	return y, n, heron
}

func (y *years) sendOf(p *testphone.Phone) {
	y.Helper()
	push := p.All(1)
	push.SentWall, push.SentMono = y.now.UnixMilli(), y.now.UnixMilli()-p.Wall
	if _, err := y.store.Push(y.Context(), push, journal.Sender{Device: p.Device}); err != nil {
		y.Fatal(err)
	}
}

func TestADayIsWhatWasMadeOnItHoweverLateItCame(t *testing.T) {
	y, n, heron := noted(t)
	y.to("2026-07-02")
	yesterday := y.day(view.DayAsk{})
	want := []string{
		"Wren: 1 walks, 12 pots, 3 notes",
		fmt.Sprintf("  walk of 12, 1 skipped, 0 corrected, begun true, ended \"enough\" on %q of \"\" ", n.Bed),
		fmt.Sprintf("  walk of 0, 0 skipped, 1 corrected, begun false, ended \"\" on %q of \"\" ", n.Bed),
		"  note on \"\" of \"\" ", "  void of a note on \"\" of \"\" ",
	}
	if got := said(yesterday); yesterday.Day != "2026-07-01" || yesterday.Today != "2026-07-02" || !slices.Equal(got, want) {
		t.Errorf("%s: %q\nwant %q", yesterday.Day, got, want)
	}
	if yesterday.Before != "2026-06-29" || yesterday.Late != 0 || len(yesterday.Came) != 0 || yesterday.Walks != 1 || yesterday.Pots != 12 || yesterday.Notes != 3 {
		t.Errorf("%+v", yesterday)
	}
	if today := y.day(view.DayAsk{Day: "2026-07-02"}); len(today.Groups) != 0 || len(today.People) != 0 || today.Before != "2026-07-01" {
		t.Errorf("an empty day: %+v", today)
	}

	y.to("2026-07-03")
	y.sendOf(heron)
	late := y.day(view.DayAsk{Day: "2026-07-01"})
	want = slices.Concat([]string{
		"Heron: 0 walks, 0 pots, 2 notes", "  person on \"\" of \"\" 2026-07-03", fmt.Sprintf("  count on %q of \"T-1\" 2026-07-03", n.Bed),
	}, want)
	if got := said(late); late.Late != 2 || !slices.Equal(got, want) {
		t.Errorf("%d late: %q\nwant %q", late.Late, got, want)
	}
	came := y.day(view.DayAsk{Day: "2026-07-03"}).Came
	if len(came) != 1 || came[0].Day != "2026-07-01" || came[0].Notes != 2 || !slices.Equal(came[0].People, []string{"Heron"}) {
		t.Errorf("came in late: %+v", came)
	}
	if again := y.day(view.DayAsk{Day: "2026-07-02"}); len(again.Groups) != 0 || len(again.Came) != 0 {
		t.Errorf("the day between: %+v", again)
	}

	byBed := said(y.day(view.DayAsk{Day: "2026-07-01", By: "bed"}))
	if len(byBed) != 8 || byBed[0] != n.Bed+": 1 walks, 12 pots, 2 notes" || byBed[4] != ": 0 walks, 0 pots, 3 notes" {
		t.Errorf("by bed: %q", byBed)
	}
	alone := y.day(view.DayAsk{Day: "2026-07-01", Person: heron.Person})
	if len(alone.Groups) != 1 || alone.Notes != 2 || alone.Walks != 0 || len(alone.People) != 2 {
		t.Errorf("of one person: %+v", alone)
	}
}

// New York is four hours behind Greenwich in July.
func TestADayEndsAtTheNurserysMidnight(t *testing.T) {
	y := newYears(t)
	y.to("2026-07-01")
	n := y.phone.Plant()
	y.send()
	for _, at := range []string{"2026-07-02T03:59:00Z", "2026-07-02T04:01:00Z"} {
		y.now, _ = time.Parse(time.RFC3339, at)
		y.phone.Wall, y.phone.Session = y.now.UnixMilli()-2000, fmt.Sprint("s", y.now.Unix())
		y.phone.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: at})
		y.send()
	}
	y.to("2026-07-05")
	first, second := y.day(view.DayAsk{Day: "2026-07-01"}), y.day(view.DayAsk{Day: "2026-07-02"})
	if first.Notes != 8 || first.Walks != 1 || second.Notes != 1 || second.Before != "2026-07-01" {
		t.Errorf("%d notes and %d walks before midnight, %d after", first.Notes, first.Walks, second.Notes)
	}
}

// Lebanon moves its clocks at midnight: on 29 March 2026 from 0:00 to 1:00, and on 25 October from 0:00 back to 23:00 of the day before. Cuba shows midnight
// twice on 1 November 2026, from 1:00 back to 0:00, and skips it on 8 March (IANA time zone database, files asia and northamerica).
func TestADayBeginsWithItsFirstMomentWhereClocksSkipOrRepeatMidnight(t *testing.T) {
	for _, day := range []struct{ zone, day, last, first string }{
		{"Asia/Beirut", "2026-03-29", "2026-03-28T21:59:30Z", "2026-03-28T22:00:30Z"},
		{"Asia/Beirut", "2026-10-25", "2026-10-24T21:59:30Z", "2026-10-24T22:00:30Z"},
		{"America/Havana", "2026-03-08", "2026-03-08T04:59:30Z", "2026-03-08T05:00:30Z"},
		{"America/Havana", "2026-11-01", "2026-11-01T03:59:30Z", "2026-11-01T04:00:30Z"},
	} {
		y := newYears(t)
		n := y.phone.Plant()
		y.phone.Note("site", "", "", schema.Site{Writes: schema.Writes{Of: n.Site}, TimeZone: &day.zone})
		y.send()
		for _, at := range []string{day.last, day.first} {
			y.now, _ = time.Parse(time.RFC3339, at)
			y.phone.Wall, y.phone.Session = y.now.UnixMilli()-2000, fmt.Sprint("s", y.now.Unix())
			y.phone.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: at})
			y.send()
		}
		first, _ := time.Parse(time.DateOnly, day.day)
		for name, of := range map[string]struct{ day, words string }{"before": {first.AddDate(0, 0, -1).Format(time.DateOnly), day.last}, "of it": {day.day, day.first}} {
			v := y.day(view.DayAsk{Day: of.day})
			if v.Notes != 1 || len(v.Groups) != 1 || string(v.Groups[0].Lines[0].Body.(json.RawMessage)) != fmt.Sprintf(`{"bed":%q,"words":%q}`, n.Bed, of.words) {
				t.Errorf("%s, the day %s %s has %q", day.zone, name, day.day, said(v))
			}
		}
	}
}

func TestTwoWhoNoteOnOneWalkHaveALineEach(t *testing.T) {
	y := newYears(t)
	y.to("2026-07-01")
	n := y.phone.Plant()
	y.phone.See(n, 1, 1, 300, 40)
	y.phone.See(n, 1, 2, 300, 40)
	heron := testphone.New("2222222222222222")
	heron.Wall, heron.Session = y.phone.Wall, "heron"
	heron.Note("person", "", "", schema.Person{Writes: schema.Writes{Of: heron.Person}, Name: new("Wren"), Role: new("supervisor")})
	for i := range 3 {
		heron.See(n, 2, 1+i, 310, 40)
	}
	y.send()
	y.sendOf(heron)
	for _, by := range []string{"person", "bed"} {
		pots := map[string]int{}
		for _, g := range y.day(view.DayAsk{Day: "2026-07-01", By: by}).Groups {
			for _, l := range g.Lines {
				if l.Walk != nil {
					pots[l.Person+l.Walk.Walk] += l.Walk.Pots
				}
			}
		}
		if len(pots) != 2 || pots[y.phone.Person+n.Walk] != 2 || pots[heron.Person+n.Walk] != 3 {
			t.Errorf("by %s: %v", by, pots)
		}
	}
}

func TestTheNotesOfASheetAreOneLine(t *testing.T) {
	y := newYears(t)
	y.to("2026-07-01")
	n := y.phone.Plant()
	y.send()
	y.to("2026-07-02")
	sheet := schema.Import{ID: testphone.ID("sheet"), Notes: 40}
	for i := range sheet.Notes {
		e := y.phone.Entry("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: 1, Reason: "found"})
		e.ID = sheet.NoteID(i)
		y.phone.Write(e)
	}
	y.phone.Note("note", "", "", schema.Note{Words: "lots.csv: 40 counts", Import: &sheet})
	y.phone.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: 1, Reason: "found"})
	y.send()
	// By sha256sum of GNU coreutils: printf '00000000000000000000000000000001 7' | sha256sum
	if id := (schema.Import{ID: "00000000000000000000000000000001"}).NoteID(7); id != "039fa091d406fec28e190975c9945f3f" {
		t.Errorf("the note 7 has the id %s", id)
	}
	v := y.day(view.DayAsk{Day: "2026-07-02"})
	if v.Notes != 42 || len(v.Groups) != 1 || len(v.Groups[0].Lines) != 2 || v.Groups[0].Lines[0].Sheet != 40 || v.Groups[0].Lines[1].Kind != "count" {
		t.Errorf("%d notes: %+v", v.Notes, v.Groups)
	}
}

func TestALongDayIsTurnedPageByPageAndEveryLineComesOnce(t *testing.T) {
	y, n, heron := noted(t)
	y.sendOf(heron)
	for i := range 320 {
		y.phone.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: fmt.Sprint("row ", i)})
	}
	y.send()
	for _, by := range []string{"person", "bed"} {
		seen, pages, after := map[string]int{}, 0, ""
		for pages == 0 || after != "" {
			v := y.day(view.DayAsk{Day: "2026-07-01", By: by, After: after})
			lines := 0
			for i, g := range v.Groups {
				for _, l := range g.Lines {
					lines++
					seen[fmt.Sprint(l.Entry, l.At, l.Walk != nil)]++
				}
				if g.Rest && (i > 0 || pages == 0) {
					t.Errorf("by %s, page %d: the group %d is said to go on", by, pages, i)
				}
			}
			if lines > 150 || v.Walks != 1 || v.Notes != 325 {
				t.Errorf("by %s: %d lines on a page, %d walks, %d notes", by, lines, v.Walks, v.Notes)
			}
			pages, after = pages+1, v.After
		}
		if pages != 3 || len(seen) != 326 {
			t.Errorf("by %s: %d lines on %d pages", by, len(seen), pages)
		}
		for line, times := range seen {
			if times != 1 {
				t.Errorf("by %s: %s comes %d times", by, line, times)
			}
		}
	}
}

func TestADayThatIsNoneIsRefusedWithWhatToDo(t *testing.T) {
	o := newOffice(t)
	for want, ask := range map[string]view.DayAsk{"day": {Day: "yesterday"}, "by": {By: "house"}, "after": {After: "x.1"}} {
		var p *schema.Problem
		if _, err := o.desk.Day(t.Context(), ask); !errors.As(err, &p) || p.Code != want {
			t.Errorf("%+v: %v", ask, err)
		}
	}
}
