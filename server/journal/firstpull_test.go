package journal_test

import (
	"encoding/hex"
	"errors"
	"flag"
	"maps"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
	"bedwalk/sync/fold"
	canon "bedwalk/sync/journal"
)

// season writes notes of several lots at random: pots, corrections, voids, steps that close a lot, and what opens one again.
type season struct {
	*bench
	r    *rapid.T
	p    *testphone.Phone
	n    testphone.Nursery
	sent int
	lots []string
	// pots and spans are by lot; ships the last write of shipped_on, counted what a lot's ledger adds up to.
	pots, voids           []string
	potOf                 map[string]string
	spanOf, shipBy, endBy map[string]string
	counted               map[string]int
}

func ptr[T any](v T) *T { return &v }

func newSeason(t *testing.T, r *rapid.T) *season {
	s := &season{bench: newBenchFor(t, r), r: r, p: testphone.New("a"), potOf: map[string]string{}, spanOf: map[string]string{}, shipBy: map[string]string{}, endBy: map[string]string{}, counted: map[string]int{}}
	s.n = s.p.Plant()
	s.lots, s.spanOf[s.n.Lot], s.counted[s.n.Lot] = []string{s.n.Lot}, s.n.Span, 50
	for _, name := range []string{"two", "three"} {
		lot, span := testphone.ID("lot "+name), testphone.ID("span "+name)
		s.p.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, Tag: ptr("T-" + name), Crop: ptr("azalea")})
		s.p.Note("span", lot, s.n.Bed, schema.Span{Writes: schema.Writes{Of: span}, Lot: &lot, Bed: &s.n.Bed, FromRow: ptr(1), ToRow: ptr(10)})
		s.lots, s.spanOf[lot] = append(s.lots, lot), span
	}
	s.send()
	return s
}

func (s *season) send() {
	if s.sent < len(s.p.Raw) {
		s.push(s.p.All(s.sent + 1))
		s.sent = len(s.p.Raw)
	}
}

func (s *season) lot() string { return rapid.SampledFrom(s.lots).Draw(s.r, "lot") }

func (s *season) of(lot string) testphone.Nursery {
	n := s.n
	n.Lot = lot
	return n
}

// ship makes a lot closed: shipped, without pots, its stretch ended.
func (s *season) ship(lot string) {
	w := schema.Writes{Of: lot}
	if by := s.shipBy[lot]; by != "" {
		w.Saw = []string{by}
	}
	s.shipBy[lot] = s.p.Note("lot", lot, "", schema.Lot{Writes: w, ShippedOn: ptr("2001-09-01")})
	if s.counted[lot] == 0 {
		s.p.Note("count", lot, "", schema.Count{Lot: lot, Span: s.spanOf[lot], Change: 5, Reason: "potted"})
		s.counted[lot] = 5
	}
	s.p.Note("count", lot, "", schema.Count{Lot: lot, Span: s.spanOf[lot], Change: -s.counted[lot], Reason: "shipped"})
	s.counted[lot] = 0
	end := schema.Writes{Of: s.spanOf[lot]}
	if by := s.endBy[lot]; by != "" {
		end.Saw = []string{by}
	}
	s.endBy[lot] = s.p.Note("span", lot, s.n.Bed, schema.Span{Writes: end, Ended: ptr(true)})
}

func (s *season) write() {
	lot := s.lot()
	some := func(of []string) string {
		return rapid.SampledFrom(append(of, testphone.ID("not yet here"))).Draw(s.r, "of")
	}
	switch rapid.IntRange(0, 13).Draw(s.r, "kind") {
	case 0, 1, 2, 3:
		pot := s.p.See(s.of(lot), rapid.IntRange(1, 10).Draw(s.r, "row"), 1, 200, 40)
		s.pots, s.potOf[pot] = append(s.pots, pot), lot
	case 4, 5:
		// Sometimes into another lot, and sometimes before the pot itself is here.
		pot := some(s.pots)
		if rapid.Bool().Draw(s.r, "its own lot") && s.potOf[pot] != "" {
			lot = s.potOf[pot]
		}
		s.p.Note("correction", lot, s.n.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: s.of(lot).Pot(1, 1, rapid.IntRange(100, 300).Draw(s.r, "head"), 20)})
	case 6:
		pot := some(s.pots)
		at := s.potOf[pot]
		if rapid.IntRange(0, 4).Draw(s.r, "of no lot") == 0 {
			at = ""
		}
		s.voids = append(s.voids, s.p.Note("void", at, s.n.Bed, schema.Void{Names: pot, Records: []string{"pot:" + pot}, Why: "mistake"}))
	case 7:
		// One that names two records, perhaps of two lots.
		s.p.Note("void", lot, s.n.Bed, schema.Void{Names: some(s.pots), Records: []string{"pot:" + some(s.pots), "pot:" + some(s.pots)}, Why: "mistake"})
	case 8:
		s.p.Note("event", lot, "", schema.Event{Lot: lot, What: "pinched", On: "2001-08-01"})
	case 9:
		s.p.Note("note", lot, "", schema.Note{Lot: lot, Words: "dry"})
	case 10:
		s.p.Note("count", lot, "", schema.Count{Lot: lot, Span: s.spanOf[lot], Change: 5, Reason: "found"})
		s.counted[lot] += 5
	case 11:
		s.p.Note("walked_on", lot, "", map[string]any{"unknown": "kind"})
	case 12:
		s.p.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, ShippedOn: ptr("2001-09-02")})
	case 13:
		s.ship(lot)
	}
}

// confirm has the clock believed after a start.
func (s *season) confirm() {
	if err := s.store.ConfirmClock(s.Context(), s.clock.UnixMilli(), "me"); err != nil {
		s.Fatal(err)
	}
}

func (s *season) act() {
	switch rapid.IntRange(0, 9).Draw(s.r, "do") {
	case 0, 1:
		s.send()
		s.clock = s.clock.Add(time.Duration(rapid.IntRange(1, 40).Draw(s.r, "days")) * 24 * time.Hour)
	case 2, 4, 5:
		s.ship(s.lot())
		s.send()
		s.clock = s.clock.Add(time.Duration(rapid.IntRange(25, 40).Draw(s.r, "days after")) * 24 * time.Hour)
	case 3:
		s.restart()
		s.confirm()
	default:
		for range rapid.IntRange(1, 4).Draw(s.r, "notes") {
			s.write()
		}
		s.send()
	}
}

// pulled is a first pull that goes on in any number of pages, with other things between them.
type pulled struct {
	first schema.FirstPull
	items []schema.Pulled
	over  bool
	after int64
	// houses are what it begins with.
	houses string
}

func (s *season) pullSome(p *pulled) {
	alive := journal.Begin
	if p.first.Resume != "" {
		alive = p.first.Resume
	}
	page, err := s.store.PullAlive(s.Context(), "z", s.store.Epoch(), p.after, rapid.IntRange(1, 9).Draw(s.r, "page"), "", journal.First{Alive: alive, Houses: p.houses, Person: s.p.Person})
	if err != nil {
		s.Fatal(err)
	}
	p.items = append(p.items, page.Items...)
	if page.First != nil {
		if p.first.Resume != "" && page.First.Resume != p.first.Resume {
			s.Fatalf("began with %s, goes on with %s", p.first.Resume, page.First.Resume)
		}
		p.first, p.after = *page.First, page.First.Passed
	} else if n := len(page.Items); n > 0 {
		p.after = page.Items[n-1].Position
	}
	p.over = !page.More
}

// tally is what a set of entries adds up to, lot by lot, and its records.
type tally struct {
	notes, records map[string]int64
	sums, made     map[string]canon.Sum
}

// tallyOf adds entries up without any code of the server. Records are those of keys that keep says yes to.
func tallyOf(t *testing.T, items []schema.Pulled, keep func(key string) bool) tally {
	all := tally{map[string]int64{}, map[string]int64{}, map[string]canon.Sum{}, map[string]canon.Sum{}}
	byKey := map[string][]schema.Stamped{}
	for _, item := range items {
		e, err := canon.Parse(item.Entry)
		if err != nil {
			t.Fatal(err)
		}
		all.notes[e.Lot]++
		all.sums[e.Lot] = all.sums[e.Lot].Add(canon.Hash(item.Entry, item.Stamp))
		for _, key := range fold.Keys(e) {
			byKey[key] = append(byKey[key], schema.Stamped{Entry: e, Stamp: item.Stamp, Position: item.Position})
		}
	}
	for key, entries := range byKey {
		if record, ok := fold.Fold(key, entries); ok && keep(key) {
			hash, err := fold.Hash(record)
			if err != nil {
				t.Fatal(err)
			}
			all.records[record.Lot]++
			all.made[record.Lot] = all.made[record.Lot].Add(hash)
		}
	}
	return all
}

func (s *season) gone(alive string) (all schema.Gone) {
	for after := ""; ; after = all.Lots[len(all.Lots)-1].Lot {
		page, err := s.store.Gone(s.Context(), journal.First{Alive: alive}, after)
		if err != nil {
			s.Fatal(err)
		}
		all.UpTo, all.Lots = page.UpTo, append(all.Lots, page.Lots...)
		if !page.More {
			return all
		}
	}
}

func (s *season) sum(text string) (sum canon.Sum) {
	if n, err := hex.Decode(sum[:], []byte(text)); err != nil || n != len(sum) {
		s.Fatalf("%q is no sum", text)
	}
	return sum
}

// passed holds a first pull against the whole journal: held and gone are all that there was up to its end, lot by lot and record by record, and
// no record that is folded from what is held lacks an entry.
func (s *season) passed(p *pulled) (left int) {
	whole := s.pullAll()
	upTo := func(items []schema.Pulled) []schema.Pulled {
		return slices.DeleteFunc(slices.Clone(items), func(i schema.Pulled) bool { return i.Position > p.first.UpTo })
	}
	held, total := upTo(p.items), upTo(whole)
	heldAt := map[int64]bool{}
	for i, item := range p.items {
		if i > 0 && item.Position <= p.items[i-1].Position {
			s.Fatalf("position %d after %d", item.Position, p.items[i-1].Position)
		}
		heldAt[item.Position] = true
	}
	split := map[string][2]int{}
	for _, item := range total {
		e, _ := canon.Parse(item.Entry)
		for _, key := range fold.Keys(e) {
			n := split[key]
			if heldAt[item.Position] {
				n[0]++
			} else {
				n[1]++
			}
			split[key] = n
		}
		if !heldAt[item.Position] && !slices.Contains([]string{"observation", "correction", "void", "unvoid", "event", "note"}, e.Kind) {
			s.Errorf("a %s was left out", e.Kind)
		}
	}
	for key, n := range split {
		if n[0] > 0 && n[1] > 0 {
			s.Errorf("%s is folded from %d entries and lacks %d", key, n[0], n[1])
		}
	}
	for _, item := range whole[p.first.UpTo:] {
		if item.Position <= p.after && !heldAt[item.Position] {
			s.Errorf("entry %d after the end %d was left out", item.Position, p.first.UpTo)
		}
	}
	mine, all := tallyOf(s.T, held, func(string) bool { return true }), tallyOf(s.T, total, func(string) bool { return true })
	for _, lot := range s.gone(p.first.Resume).Lots {
		left += int(lot.Count)
		sum, made := s.sum(lot.Sum), s.sum(lot.RecordSum)
		mine.notes[lot.Lot] += lot.Count
		mine.sums[lot.Lot] = mine.sums[lot.Lot].Add(sum)
		mine.records[lot.Lot] += lot.Records
		mine.made[lot.Lot] = mine.made[lot.Lot].Add(made)
	}
	if !maps.Equal(mine.notes, all.notes) || !maps.Equal(mine.sums, all.sums) {
		s.Errorf("held and gone are %v notes, passed %v", mine.notes, all.notes)
	}
	if !maps.Equal(mine.records, all.records) || !maps.Equal(mine.made, all.made) {
		s.Errorf("held and gone are %v records, passed %v", mine.records, all.records)
	}
	return left
}

// Whatever the journal, and whatever comes between the pages of a first pull and after it: what is held and what is gone are what has passed.
func TestHeldAndGoneAreWhatHasPassed(t *testing.T) {
	// In place of a hundred, each of which is the whole life of a store: planted faults in the sums were found within two.
	if asked := flag.Lookup("rapid.checks").Value; asked.String() == "100" {
		defer func() { _ = asked.Set("100") }()
		if err := asked.Set("40"); err != nil {
			t.Fatal(err)
		}
	}
	left := 0
	rapid.Check(t, func(r *rapid.T) {
		s := newSeason(t, r)
		for range rapid.IntRange(3, 15).Draw(r, "before") {
			s.act()
		}
		if rapid.IntRange(0, 2).Draw(r, "older file") == 0 {
			s.forgetSums()
			s.confirm()
			page, err := s.store.PullAlive(t.Context(), "z", "", 0, 0, "", journal.First{Alive: journal.Begin})
			if err != nil || page.First != nil {
				t.Fatalf("a file that was not read yet answered %+v, %v", page.First, err)
			}
			if err := s.store.SumRecords(t.Context()); err != nil {
				t.Fatal(err)
			}
			s.sound()
		}
		if rapid.Bool().Draw(r, "a quiet month") {
			lot := s.lot()
			s.p.See(s.of(lot), 1, 1, 200, 40)
			s.ship(lot)
			s.send()
			s.clock = s.clock.Add(31 * 24 * time.Hour)
		}
		var p pulled
		for !p.over {
			s.pullSome(&p)
			if rapid.IntRange(0, 3).Draw(r, "meanwhile") == 0 {
				s.act()
			}
		}
		left += s.passed(&p)
		for range rapid.IntRange(0, 5).Draw(r, "after") {
			s.act()
		}
		s.passed(&p)
		s.sound()
		if t.Failed() {
			r.FailNow()
		}
	})
	t.Logf("%d notes were left out", left)
	if left == 0 {
		t.Fatal("nothing was ever left out, which tries nothing")
	}
}

// A first pull that a restored backup cut short begins again where its end is gone, and goes on where it is not.
func TestAFirstPullAfterARestoreGoesOnOrBeginsAgain(t *testing.T) {
	tried := map[bool]int{}
	rapid.Check(t, func(r *rapid.T) {
		later := rapid.Bool().Draw(r, "the backup is made later")
		tried[later]++
		s := newSeason(t, r)
		s.ship(s.lots[0])
		s.p.See(s.of(s.lots[1]), 1, 1, 200, 40)
		s.send()
		s.clock = s.clock.Add(31 * 24 * time.Hour)
		var p pulled
		if later {
			s.pullSome(&p)
		}
		saved := s.backup()
		for range 3 {
			s.p.See(s.of(s.lots[1]), 2, 1, 200, 40)
		}
		s.send()
		if !later {
			s.pullSome(&p)
		}
		s.restoreFrom(saved)
		s.confirm()
		_, err := s.store.PullAlive(t.Context(), "z", s.store.Epoch(), p.after, 0, "", journal.First{Alive: p.first.Resume})
		refusal := (*schema.Problem)(nil)
		if later != (err == nil) || err != nil && (!errors.As(err, &refusal) || refusal.Code != journal.CodeFirstPullOver) {
			t.Fatalf("begun before the backup: %v, and answered %v", later, err)
		}
		if later {
			for !p.over {
				s.pullSome(&p)
			}
			s.passed(&p)
		}
	})
	if tried[true] == 0 || tried[false] == 0 {
		t.Fatalf("backups were made before the pull began %d times and later %d times, want both", tried[false], tried[true])
	}
}
