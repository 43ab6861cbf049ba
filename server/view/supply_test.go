package view_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"bedwalk/fixtures/checks"
	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// A week's numbers are remembered until something changes them, and an hour does not: each is the work of many sums.
func TestAWeekHasTheSameNumbersAllDay(t *testing.T) {
	desk, before := demoSupply(t)
	passed.Store(int64(6 * time.Hour))
	defer passed.Store(0)
	stillStands(t, desk, before)
}

// What the pages show of the demo: weeks with lots that were seen, weeks that are overbooked, and numbers that agree with each other.
func TestTheSupplyOfTheDemo(t *testing.T) {
	desk, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	view, err := desk.Supply(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	seen, overbooked, elsewhere := 0, 0, 0
	for _, w := range view.Weeks {
		booked, upTo := 0, 0
		for _, b := range w.Bookings {
			booked += b.Open
			if b.Missing < 0 || b.Missing > b.Open || b.Open <= 0 || (b.Why == "") != (b.Missing == 0) {
				t.Errorf("%s: %+v", w.Week, b)
			}
		}
		for _, l := range w.Lots {
			for k, safe := range l.Safe {
				if safe > l.Sure[k] || safe > 0 && l.Leans[k] > l.Sure[k] {
					t.Errorf("%s: %+v", w.Week, l)
				}
			}
		}
		for _, c := range w.Cultivars {
			for k, safe := range c.Safe {
				if safe > c.Sure[k] || w.Missing+w.Undecided == 0 && safe > w.Grades[k].Sure {
					t.Errorf("%s: %+v of a week with %+v", w.Week, c, w.Grades[k])
				}
			}
		}
		for k, g := range w.Grades {
			upTo += g.Booked
			if g.Low > g.High || g.Expected < 0 || g.Short < 0 || g.Short > 1 || k > 0 && w.Grades[k-1].Sure > g.Sure {
				t.Errorf("%s %s: %+v", w.Week, w.Crop, g)
			}
			if g.Safe > max(0, g.Sure-upTo) {
				t.Errorf("%s %s: safe %d of %d sure with %d booked", w.Week, w.Crop, g.Safe, g.Sure, upTo)
			}
			if g.Short <= 0.05 != (g.Sure >= upTo) && math.Abs(g.Short-0.05) > 1e-9 {
				t.Errorf("%s %s: short with %v, but sure of %d for %d", w.Week, w.Crop, g.Short, g.Sure, upTo)
			}
		}
		if len(w.Grades) > 0 && upTo != booked {
			t.Errorf("%s: %d booked, by grade %d", w.Week, booked, upTo)
		}
		if w.Missing > 0 {
			overbooked++
		}
		if (w.Short != nil) != (w.Missing > 0) {
			t.Errorf("%s: short with %v where %d are missing", w.Week, w.Short, w.Missing)
		}
		for _, b := range w.Bookings {
			if counts := b.Missing > 0 && b.Why != "unknown"; counts && (*w.Short < b.Short || *w.Short > 1) {
				t.Errorf("%s: short with %v, a booking of it with %v", w.Week, *w.Short, b.Short)
			}
		}
		if len(w.Bookings) == 1 {
			// Alone in its week a booking could have all that the other lots are sure of, each by itself, and no more than all are together.
			b, others := w.Bookings[0], 0
			k := slices.IndexFunc(w.Grades, func(g schema.SupplyGrade) bool { return g.Grade == b.Grade })
			for _, l := range w.Lots {
				if l.Lot != b.Lot {
					others += l.Sure[max(0, k)]
				} else if late := b.Short > 0.05; b.Why == "few" != late && b.Why != "unknown" && b.Why != "not_ready" {
					t.Errorf("%s: %+v of a lot that is sure of %v", w.Week, b, l.Sure)
				}
			}
			if b.Elsewhere < min(b.Missing, others) || b.Open-b.Missing+b.Elsewhere > max(w.Grades[max(0, k)].Sure, w.Grades[max(0, k)].LotsAlone) {
				t.Errorf("%s: %d pots could come from other lots, which are sure of %d for %+v", w.Week, b.Elsewhere, others, b)
			}
			elsewhere += b.Elsewhere
		}
		seen += len(slices.DeleteFunc(slices.Clone(w.Lots), func(l schema.SupplyLot) bool { return l.Basis != "walk" }))
	}
	n, err := planted()
	if err != nil {
		t.Fatal(err)
	}
	for i, missing := range []bool{false, true} {
		for _, w := range view.Weeks {
			for _, b := range w.Bookings {
				if b.ID == n.Truth.WideBookings[i] && (b.Missing > 0 != missing || b.Crop == "" || len(w.Cultivars) < 2) {
					t.Errorf("%s: %+v", w.Week, b)
				}
			}
		}
	}
	if seen == 0 || overbooked == 0 || elsewhere == 0 {
		t.Errorf("%d lots seen, %d weeks overbooked, %d pots from elsewhere: the page has nothing true to show", seen, overbooked, elsewhere)
	}
}

// supplyOf is a small nursery with a whole walk of twelve good pots among 50, seen on 9 September 2001, with the growth regulator on it for so
// long that it is ready.
func supplyOf(t *testing.T, week string, more func(p *testphone.Phone, n testphone.Nursery)) schema.SupplyView {
	t.Helper()
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	grades := []schema.Grade{{Name: "florist", PotMM: 130, HeadMinMM: new(280)}, {Name: "nursery", PotMM: 130, HeadMinMM: new(200)}}
	p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, Crop: new("azalea"), ExpectedLossBP: new(0), Grades: &grades})
	lot := schema.Lot{Writes: schema.Writes{Of: n.Lot}, PottedOn: new("1999-06-01"), Route: new("nursery")}
	if week != "" {
		lot.ShipWeek = &week
	}
	p.Note("lot", n.Lot, "", lot)
	january := time.Date(2000, time.January, 10, 12, 0, 0, 0, time.UTC).UnixMilli()
	p.Note("application", n.Lot, "", schema.Application{Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "invented", EndedAt: january})
	for i := range 12 {
		p.See(n, 1+i/5, 1+i%5, 300, 40)
	}
	p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "planned"})
	more(p, n)
	o.push(p)
	v, err := o.desk.Supply(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestWhatIsBookedForAWeekIsSetAgainstItsLot(t *testing.T) {
	v := supplyOf(t, "2001-W40", func(p *testphone.Phone, n testphone.Nursery) {
		book(p, n, "Oxbow", "florist", "2001-W40", 20)
		book(p, n, "Ferry", "florist", "2001-W40", 45)
	})
	if len(v.Weeks) != 1 {
		t.Fatalf("%+v", v.Weeks)
	}
	w := v.Weeks[0]
	florist := w.Grades[0]
	if w.Lots[0].Basis != "walk" || w.Lots[0].Seen != 12 || w.Lots[0].Ready < 0.99 || florist.Sure < 30 || florist.Sure > 45 || florist.Booked != 65 || florist.Short < 0.99 {
		t.Errorf("%+v, %+v", w.Lots[0], florist)
	}
	// What was entered first is served first, and all that is sure is given out.
	if w.Bookings[0].Buyer != "Oxbow" || w.Bookings[0].Missing != 0 || w.Bookings[1].Missing != 65-florist.Sure || w.Bookings[1].Why != "few" || w.Missing != w.Bookings[1].Missing {
		t.Errorf("%+v", w.Bookings)
	}
	// The two are all that is booked of the only lot, so the chance is the week's own; and there is no other lot.
	if math.Abs(w.Bookings[1].Short-florist.Short) > 1e-9 || w.Bookings[0].Short != 0 || w.Bookings[1].Elsewhere != 0 {
		t.Errorf("%+v, the week %v", w.Bookings, florist.Short)
	}
	if *w.Short != w.Bookings[1].Short {
		t.Errorf("the week is short with %v, its bookings are %+v", *w.Short, w.Bookings)
	}
}

func TestABookingForAnotherWeekThanItsLotsIsNamed(t *testing.T) {
	v := supplyOf(t, "2001-W40", func(p *testphone.Phone, n testphone.Nursery) { book(p, n, "Oxbow", "florist", "2001-W38", 20) })
	if len(v.Weeks) != 2 || v.Weeks[0].Week != "2001-W38" {
		t.Fatalf("%+v", v.Weeks)
	}
	if b := v.Weeks[0].Bookings[0]; b.Missing != 20 || b.Why != "week" || b.OtherWeek != "2001-W40" || v.Weeks[0].Missing != 20 || *v.Weeks[0].Short != 1 {
		t.Errorf("%+v", b)
	}
}

func TestABookingWithoutAnyWeekIsNotLost(t *testing.T) {
	v := supplyOf(t, "", func(p *testphone.Phone, n testphone.Nursery) {
		p.Note("booking", n.Lot, "", schema.Booking{Writes: schema.Writes{Of: testphone.ID("Oxbow")}, Lot: &n.Lot, Pots: new(20), Grade: new("florist")})
	})
	if len(v.Weeks) > 0 && len(v.Weeks[0].Bookings) > 0 || len(v.Unplaced) != 1 || v.Unplaced[0].Open != 20 {
		t.Errorf("%+v, %+v", v.Weeks, v.Unplaced)
	}
}

// The seasons that a crop's profile says differ make its weeks less sure.
func TestACropsSeasonsMakeItsWeeksLessSure(t *testing.T) {
	var weeks []schema.SupplyWeek
	for _, sd := range []int{0, 1000} {
		v := supplyOf(t, "2001-W40", func(p *testphone.Phone, n testphone.Nursery) {
			p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, SharingSDMilli: &sd})
		})
		weeks = append(weeks, v.Weeks[0])
	}
	if same, differ := weeks[0], weeks[1]; same.Season != 0 || differ.Season != 1 || differ.Grades[0].Sure >= same.Grades[0].Sure {
		t.Errorf("%v: %+v, %v: %+v", same.Season, same.Grades[0], differ.Season, differ.Grades[0])
	}
}

// wideFor books of any lot of a crop and pot size, of a cultivar where it is not "".
func wideFor(p *testphone.Phone, name, crop, cultivar, week string, potMM, pots int) {
	b := schema.Booking{Writes: schema.Writes{Of: testphone.ID(name)}, Crop: &crop, PotMM: &potMM, Grade: new("florist"), Pots: &pots, Buyer: &name, ShipWeek: &week}
	if cultivar != "" {
		b.Cultivar = &cultivar
	}
	p.Note("booking", "", "", b)
}

// A booking of the crop takes what the bookings of the lot leave, and the lot is promised less for it; one that nothing of the week is like is named.
func TestABookingOfACropTakesWhatLotsAreSureOf(t *testing.T) {
	alone := supplyOf(t, "2001-W40", func(*testphone.Phone, testphone.Nursery) {}).Weeks[0]
	sure := alone.Lots[0].Sure[0]
	v := supplyOf(t, "2001-W40", func(p *testphone.Phone, n testphone.Nursery) {
		book(p, n, "Oxbow", "florist", "2001-W40", 10)
		wideFor(p, "Ferry", " AZALEA", "", "2001-W40", 130, 15)
		wideFor(p, "Copper", "azalea", "Ember Lace", "2001-W40", 130, 1)
		wideFor(p, "Stall", "azalea", "", "2001-W40", 170, 5)
		wideFor(p, "Late", "azalea", "", "2001-W40", 130, sure)
	})
	if len(v.Weeks) != 2 || len(v.Unplaced) != 0 {
		t.Fatalf("%+v", v)
	}
	byBuyer := map[string]schema.SupplyBooking{}
	for _, w := range v.Weeks {
		for _, b := range w.Bookings {
			byBuyer[b.Buyer] = b
		}
	}
	if b := byBuyer["Ferry"]; b.Missing != 0 || b.Open != 15 || b.Crop != " AZALEA" || b.PotMM != 130 {
		t.Errorf("%+v", b)
	}
	if b := byBuyer["Copper"]; b.Missing != 1 || b.Why != "none" || b.Elsewhere != 0 {
		t.Errorf("no lot is of the cultivar, and all is given: %+v", b)
	}
	if b := byBuyer["Stall"]; b.Missing != 5 || b.Why != "none" {
		t.Errorf("no lot is in the pot: %+v", b)
	}
	if b := byBuyer["Late"]; b.Missing != 25 || b.Why != "few" || b.Short < 0.99 {
		t.Errorf("%+v of %d sure", b, sure)
	}
	// All are needed: ten by its own booking, the others by those of the crop.
	if l := v.Weeks[0].Lots[0]; l.Leans[0] != sure-10 || l.Safe[0] != 0 || v.Weeks[0].Grades[0].Booked != 10+15+1+sure {
		t.Errorf("%+v, %+v", l, v.Weeks[0].Grades)
	}
}

// The page of the lot promises less where a booking of the crop needs its pots, and says how many.
func TestTheLotsPageKeepsWhatABookingOfTheCropNeeds(t *testing.T) {
	ship := func(p *testphone.Phone, n testphone.Nursery) {
		p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, ShipWeek: new("2001-W40"), PottedOn: new("1999-06-01"), Route: new("nursery")})
		january := time.Date(2000, time.January, 10, 12, 0, 0, 0, time.UTC).UnixMilli()
		p.Note("application", n.Lot, "", schema.Application{Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "invented", EndedAt: january})
	}
	before := booked(t, ship)
	after := booked(t, func(p *testphone.Phone, n testphone.Nursery) {
		ship(p, n)
		wideFor(p, "Ferry", "azalea", "", "2001-W40", 130, 15)
	})
	line := after.Promise.Lines[0]
	if len(after.Leans) != 1 || after.Leans[0].Pots != 15 || line.Booked != 15 || line.Safe != before.Promise.Lines[0].Safe-15 || len(before.Leans) != 0 {
		t.Errorf("%+v, %+v, before %+v", after.Leans, line, before.Promise.Lines[0])
	}
}

// The case of booking-open (arithmetic by hand), of a tenth of its pots. What comes back before anything was shipped opens nothing.
func bookingOpen(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Booked  int
		Shipped []int
	}](t, c.Inputs)
	want := checks.Read[struct{ Open int }](t, c.Expected)
	view := booked(t, func(p *testphone.Phone, n testphone.Nursery) {
		book(p, n, "Oxbow", "florist", "2001-W36", in.Booked/10)
		count := func(change int, reason string) {
			p.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: change, Reason: reason})
		}
		count(3, "returned")
		for _, pots := range in.Shipped {
			count(-pots/10, map[bool]string{true: "shipped", false: "returned"}[pots > 0])
		}
	})
	if b := view.Bookings[0]; b.Open != want.Open/10 || b.Shipped != (in.Booked-want.Open)/10 {
		t.Errorf("%+v", b)
	}
}

// The cases of plan/work carry their sources.
func TestChecksThroughNotes(t *testing.T) {
	checks.Run(t, map[string]func(*testing.T, checks.Case){"booking-open": bookingOpen, "entry-interval": entryInterval}, "plan/work")
}

// The case of entry-interval, moved to the clock of the office: a bed is closed until the last interval ends, whichever began last, and an
// application that was struck out closes nothing, here with an interval that would end last of all.
func entryInterval(t *testing.T, c checks.Case) {
	const hour = 60 * 60 * 1000
	in := checks.Read[struct {
		Applications []struct {
			Ended     string
			Hours     int
			StruckOut bool `json:"struck_out"`
		}
	}](t, c.Inputs)
	want := checks.Read[struct {
		Until string `json:"closed_until"`
	}](t, c.Expected)
	at := func(written string) int64 {
		when, err := time.Parse("2006-01-02T15:04Z", written)
		if err != nil {
			t.Fatal(err)
		}
		return when.UnixMilli()
	}
	o, p := newOffice(t), testphone.New("1111111111111111")
	n := p.Plant()
	last := int64(0)
	for _, a := range in.Applications {
		last = max(last, at(a.Ended))
	}
	// The office's clock stands an hour after the last application.
	shift := 1_000_000_100_000 - hour - last
	for _, a := range in.Applications {
		hours := a.Hours
		if a.StruckOut {
			hours = 500
		}
		id := p.Note("application", n.Lot, n.Bed, schema.Application{
			Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "invented", EndedAt: at(a.Ended) + shift, EntryHours: hours,
		})
		if a.StruckOut {
			p.Note("void", n.Lot, n.Bed, schema.Void{Names: id, Records: []string{"fact:" + id}, Why: "mistake"})
		}
	}
	o.push(p)
	v, err := o.desk.Beds(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	if got := v.Houses[0].Beds[0].ClosedUntil; got != at(want.Until)+shift {
		t.Errorf("closed until %s, want %s", time.UnixMilli(got-shift).UTC(), want.Until)
	}
}

// A booking of any lot that was shipped in full or cancelled is on no lot's page: the ship weeks list it.
func TestClosedBookingsOfACropAreListed(t *testing.T) {
	v := supplyOf(t, "2001-W36", func(p *testphone.Phone, n testphone.Nursery) {
		wideFor(p, "Ferry", "azalea", "", "2001-W36", 130, 5)
		wideFor(p, "Copper", "azalea", "", "2001-W35", 130, 7)
		p.Note("booking", "", "", schema.Booking{Writes: schema.Writes{Of: testphone.ID("Copper")}, Cancelled: new(true)})
		wideFor(p, "Stall", "azalea", "", "2001-W40", 130, 9)
		p.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: -5, Reason: "shipped"})
	})
	said := ""
	for _, b := range v.Closed {
		said += fmt.Sprintf("%s %s %d of %d %v, ", b.Week, b.Buyer, b.Shipped, b.Pots, b.Cancelled)
	}
	if said != "2001-W36 Ferry 5 of 5 false, 2001-W35 Copper 0 of 7 true, " {
		t.Error(said)
	}
}

// What ships of a lot without a booking of its own serves those of its crop, and is then not called sold without a booking.
func TestWhatShipsServesABookingOfTheCrop(t *testing.T) {
	shipped := func(p *testphone.Phone, n testphone.Nursery) {
		book(p, n, "Oxbow", "florist", "2001-W36", 4)
		wideFor(p, "Ferry", "azalea", "", "2001-W36", 130, 5)
		p.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: -10, Reason: "shipped"})
	}
	for _, b := range supplyOf(t, "2001-W36", shipped).Weeks[0].Bookings {
		t.Errorf("still open: %+v", b)
	}
	if lot := booked(t, shipped); lot.ShippedFree != 1 {
		t.Errorf("%d pots shipped for nothing, want 1", lot.ShippedFree)
	}
}

// A lot that nobody could grade promises nothing, and its booking is not called impossible.
func TestABookingOfALotOfWhichNothingIsKnownIsUndecided(t *testing.T) {
	v := supplyOf(t, "2001-W40", func(p *testphone.Phone, n testphone.Nursery) {
		book(p, n, "Oxbow", "florist", "2001-W40", 20)
		p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, PromiseMin: new(20)})
	})
	w := v.Weeks[0]
	if w.Lots[0].Basis != "unknown" || w.Bookings[0].Why != "unknown" || w.Undecided != 20 || w.Missing != 0 {
		t.Errorf("%+v, %+v", w.Lots[0], w.Bookings[0])
	}
}
