package journal_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
	canon "bedwalk/sync/journal"
)

// street is a season in two houses, of which the first lot stands in one and the others in the other.
type street struct {
	*season
	west, westBed string
	spans         int
	// ended is when a stretch was ended, by lot and bed.
	ended map[string]time.Time
	// left counts those that had moved out and were left out.
	left int
}

func newStreet(t *testing.T, r *rapid.T) *street {
	s := &street{season: newSeason(t, r), west: testphone.ID("west"), westBed: testphone.ID("west bed"), ended: map[string]time.Time{}}
	s.p.Note("house", "", "", schema.House{Writes: schema.Writes{Of: s.west}, Name: ptr("West")})
	s.p.Note("bed", "", s.westBed, schema.Bed{Writes: schema.Writes{Of: s.westBed}, House: &s.west, Name: ptr("W1"), Rows: ptr(10), Across: ptr(5)})
	for _, name := range []string{"far", "farther"} {
		lot := testphone.ID("lot " + name)
		s.p.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, Tag: ptr("T-" + name), Crop: ptr("azalea")})
		s.lots = append(s.lots, lot)
		s.stands(lot, s.westBed)
		s.spanOf[lot] = testphone.ID(fmt.Sprint("stretch ", s.spans))
	}
	s.send()
	return s
}

// moves puts a lot on a bed and ends where it stood.
func (s *street) moves(lot, from, to string) {
	end := schema.Writes{Of: s.spanOf[lot]}
	if by := s.endBy[lot]; by != "" {
		end.Saw = []string{by}
	}
	s.endBy[lot] = s.p.Note("span", lot, from, schema.Span{Writes: end, Ended: ptr(true)})
	s.ended[lot+from] = s.clock
	s.stands(lot, to)
}

// stands puts a lot on a bed, beside where it stood.
func (s *street) stands(lot, bed string) {
	delete(s.ended, lot+bed)
	s.spans++
	span := testphone.ID(fmt.Sprint("stretch ", s.spans))
	s.p.Note("span", lot, bed, schema.Span{Writes: schema.Writes{Of: span}, Lot: &lot, Bed: &bed, FromRow: ptr(1), ToRow: ptr(10)})
}

func (s *street) actHere() {
	switch rapid.IntRange(0, 8).Draw(s.r, "street") {
	case 2, 3:
		lot := s.lot()
		from, to := s.n.Bed, s.westBed
		if lot == testphone.ID("lot far") || lot == testphone.ID("lot farther") {
			from, to = to, from
		}
		s.p.See(s.of(lot), 1, 1, 200, 40)
		s.moves(lot, from, to)
		s.send()
		s.clock = s.clock.Add(time.Duration(rapid.IntRange(20, 60).Draw(s.r, "days since it moved")) * 24 * time.Hour)
	case 0:
		s.stands(s.lot(), rapid.SampledFrom([]string{s.n.Bed, s.westBed}).Draw(s.r, "bed"))
		s.send()
	case 1:
		// Somebody who does not know better puts a bed into the other house.
		if rapid.IntRange(0, 3).Draw(s.r, "bed moves") == 0 {
			s.p.Note("bed", "", s.westBed, schema.Bed{Writes: schema.Writes{Of: s.westBed}, House: &s.n.House})
			s.send()
		}
	default:
		s.act()
	}
}

// staysHere holds what was left out of lots that are alive against the stretches and beds as they were written, without the fold: none of
// them was ever put on a bed of the house, or it moved out a month ago and was not put there again.
func (s *street) staysHere(p *pulled, house string, moved map[string]bool) {
	in, here := map[string]bool{}, map[string]bool{}
	for _, item := range s.pullAll() {
		e, err := canon.Parse(item.Entry)
		if err != nil {
			s.Fatal(err)
		}
		var body struct{ Of, House, Bed, Lot string }
		if item.Position > p.first.UpTo || e.Kind != "bed" && e.Kind != "span" || json.Unmarshal(e.Body, &body) != nil {
			continue
		}
		if e.Kind == "bed" && body.House == house {
			in[body.Of] = true
		}
		if e.Kind == "span" && body.Lot != "" {
			here[body.Lot+body.Bed] = true
		}
	}
	heldAt := map[int64]bool{}
	for _, item := range p.items {
		heldAt[item.Position] = true
	}
	for _, gone := range s.gone(p.first.Resume).Lots {
		for bed := range in {
			if moved[gone.Lot+bed] {
				s.left++
			} else if here[gone.Lot+bed] && !s.wasShipped(gone.Lot) {
				s.Errorf("lot %s stood in the house and was left out", gone.Lot)
			}
		}
	}
}

func (s *street) wasShipped(lot string) bool { return s.shipBy[lot] != "" }

// Whatever the journal, whatever lots move meanwhile, and whichever houses are a scout's own: what is held and what is gone are what has passed.
func TestHeldAndGoneAreWhatHasPassedOfOnesOwnHouses(t *testing.T) {
	left, moved := map[string]int{}, 0
	rapid.Check(t, func(r *rapid.T) {
		s := newStreet(t, r)
		for range rapid.IntRange(2, 12).Draw(r, "before") {
			s.actHere()
		}
		house := rapid.SampledFrom([]string{s.n.House, s.west}).Draw(r, "house")
		p, longAgo := pulled{houses: house}, map[string]bool{}
		for place, at := range s.ended {
			longAgo[place] = !at.After(s.clock.Add(-30 * 24 * time.Hour))
		}
		if rapid.Bool().Draw(r, "by the record") {
			s.p.Note("person", "", "", schema.Person{Writes: schema.Writes{Of: s.p.Person}, Houses: &[]string{house}})
			s.send()
			p.houses = journal.OwnHouses
		}
		for !p.over {
			s.pullSome(&p)
			if rapid.IntRange(0, 2).Draw(r, "meanwhile") == 0 {
				s.actHere()
			}
		}
		left[house] += s.passed(&p)
		s.staysHere(&p, house, longAgo)
		moved += s.left
		for range rapid.IntRange(0, 5).Draw(r, "after") {
			s.actHere()
		}
		s.passed(&p)
		s.sound()
		if t.Failed() {
			r.FailNow()
		}
	})
	t.Logf("notes left out by house: %v; lots that had moved out: %d", left, moved)
	if moved == 0 {
		t.Fatal("no lot that had moved out was ever left out, which tries nothing")
	}
	if len(left) < 2 || slices.Min([]int{left[testphone.ID("house")], left[testphone.ID("west")]}) == 0 {
		t.Fatal("nothing was ever left out of one of the houses, which tries nothing")
	}
}

// A lot that moves into the house after the first pull comes whole by its own page, and what came of it since is not in what is gone.
func TestALotThatMovesInAfterTheFirstPullIsStillWhatWasLeftOut(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := newStreet(t, r)
		lot := testphone.ID("lot far")
		pot := s.p.See(s.of(lot), 1, 1, 200, 40)
		s.p.See(s.of(lot), 2, 1, 210, 40)
		s.send()
		p := pulled{houses: s.n.House}
		for !p.over {
			s.pullSome(&p)
		}
		before := s.gone(p.first.Resume).Lots
		s.stands(lot, s.n.Bed)
		s.p.Note("correction", lot, s.n.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: s.of(lot).Pot(1, 1, 150, 20)})
		s.p.See(s.of(lot), 3, 1, 210, 40)
		s.p.Note("void", "", s.n.Bed, schema.Void{Names: pot, Records: []string{"pot:" + pot}, Why: "mistake"})
		s.send()
		s.clock = s.clock.Add(time.Hour)
		if after := s.gone(p.first.Resume).Lots; len(before) != 1 || before[0].Count != 2 || !slices.Equal(before, after) {
			t.Fatalf("left out were %+v, and now %+v", before, after)
		}
		if now := s.gone(journal.Begin).Lots; len(now) != 0 {
			t.Fatalf("without houses %+v would be left out", now)
		}
	})
}

// A lot that has moved out is left out once that is a month ago; a first pull that began before then goes on as it began, and one that an earlier
// release began, which would have kept the lot, does not go on by this rule.
func TestALotThatMovedOutIsLeftOutAMonthLater(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := newStreet(t, r)
		lot := testphone.ID("lot far")
		s.p.See(s.of(lot), 1, 1, 200, 40)
		s.send()
		left := func(alive, house string) (count int64) {
			all, err := s.store.Gone(t.Context(), journal.First{Alive: alive, Houses: house}, "")
			if err != nil {
				t.Fatal(err)
			}
			for _, gone := range all.Lots {
				if gone.Lot == lot {
					count += gone.Count
				}
			}
			return count
		}
		s.moves(lot, s.westBed, s.n.Bed)
		s.send()
		p := pulled{houses: s.west}
		s.pullSome(&p)
		at := p.first.Resume
		for _, days := range []int{0, 29, 30, 31, 62} {
			s.clock = s.clock.Add(time.Duration(days)*24*time.Hour - s.clock.Sub(s.ended[lot+s.westBed]))
			want := int64(0)
			// To the hour.
			if days > 30 {
				want = 1
			}
			if got := left(journal.Begin, s.west); got != want {
				t.Errorf("%d days after it moved out %d of its notes are left out, want %d", days, got, want)
			}
			if got := left(at, ""); got != 0 {
				t.Errorf("%d days after it moved out %d of its notes are left out of a first pull that had begun before", days, got)
			}
			if got := left(journal.Begin, s.n.House); got != 0 {
				t.Errorf("%d of its notes are left out of the house that it stands in", got)
			}
		}
		var refused *schema.Problem
		_, err := s.store.Gone(t.Context(), journal.First{Alive: strings.Replace(at, "-m", "-", 1)}, "")
		if !errors.As(err, &refused) || refused.Code != journal.CodeParameter {
			t.Errorf("a first pull of an earlier release: %v", err)
		}
		s.p.Note("span", lot, s.westBed, schema.Span{Writes: schema.Writes{Of: s.spanOf[lot]}, Ended: ptr(false)})
		s.send()
		if got := left(journal.Begin, s.west); got != 0 {
			t.Errorf("%d of its notes are left out though somebody says that it still stands there", got)
		}
	})
}

// A person without houses, or in whose list somebody put none, has them all.
func TestAPersonWithoutHousesOfTheirOwnHasThemAll(t *testing.T) {
	b := newBench(t)
	p := testphone.New("a")
	n := p.Plant()
	west := testphone.ID("west")
	p.See(n, 1, 1, 200, 40)
	b.push(p.All(1))
	gone := func(houses string) int {
		all, err := b.store.Gone(t.Context(), journal.First{Alive: journal.Begin, Houses: houses, Person: p.Person}, "")
		if err != nil {
			t.Fatal(err)
		}
		return len(all.Lots)
	}
	write := func(houses []string, saw ...string) string {
		id := p.Note("person", "", "", schema.Person{Writes: schema.Writes{Of: p.Person, Saw: saw}, Houses: &houses})
		b.push(p.All(len(p.Raw)))
		return id
	}
	want := func(what string, n, want int) {
		t.Helper()
		if n != want {
			t.Errorf("%s: %d lots are left out, want %d", what, n, want)
		}
	}
	want("nobody has said", gone(journal.OwnHouses), 0)
	first := write([]string{west})
	want("another house", gone(journal.OwnHouses), 1)
	other := write([]string{n.House}, first)
	want("this house", gone(journal.OwnHouses), 0)
	write([]string{}, other)
	want("emptied", gone(journal.OwnHouses), 0)
	write([]string{west}, other)
	want("emptied by one and set by another", gone(journal.OwnHouses), 0)
	want("named by the device", gone(west), 1)
	want("both named", gone(west+","+n.House), 0)
}

// A note that waited in quarantine comes into the journal with the time at which it had arrived. What stands before it may have come today, and
// then an older backup does not have it.
func TestANoteThatWaitedAMonthMakesNothingBeforeItOld(t *testing.T) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	q.Person = p.Person
	n.Walk = testphone.ID("walk b")
	q.StartWalk(n)
	if got := states(b.push(q.All(1))); got != "quarantined" {
		t.Fatalf("got %s", got)
	}
	b.clock = b.clock.Add(31 * 24 * time.Hour)
	b.push(p.All(1))
	head := b.store.Head()
	if held, err := b.store.QuarantineCount(t.Context()); held != 0 || err != nil || head != int64(len(p.Raw))+1 {
		t.Fatalf("%d entries still wait, %v; the journal has %d", held, err, head)
	}
	for _, at := range []struct {
		days int
		want int64
	}{{0, 0}, {31, head - 1}} {
		b.clock = b.clock.Add(time.Duration(at.days) * 24 * time.Hour)
		gone, err := b.store.Gone(t.Context(), journal.First{Alive: journal.Begin}, "")
		if err != nil || gone.OldUpTo != at.want {
			t.Errorf("after %d days %d of %d are said to be thirty days old, want %d: %v", at.days, gone.OldUpTo, head, at.want, err)
		}
	}
}
