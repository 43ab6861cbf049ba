package view_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// busy is a nursery of three beds and three lots where several phones write all kinds of notes that views are made from.
type busy struct {
	*rapid.T
	beds, lots, walks, spans []string
	phones                   []*testphone.Phone
	pushed                   []int
	pots                     []string
}

func newBusy(t *rapid.T) *busy {
	b := &busy{T: t}
	for i := range 3 {
		b.beds, b.lots = append(b.beds, testphone.ID(fmt.Sprint("bed ", i))), append(b.lots, testphone.ID(fmt.Sprint("lot ", i)))
		b.phones = append(b.phones, testphone.New(fmt.Sprintf("%016d", i+1)))
		b.walks, b.spans = append(b.walks, testphone.ID(fmt.Sprint("walk ", i))), append(b.spans, testphone.ID(fmt.Sprint("span ", i)))
	}
	b.walks = append(b.walks, testphone.ID("walk 3"), testphone.ID("walk 4"))
	b.pushed = make([]int, len(b.phones))
	first := b.phones[0]
	house := testphone.ID("house")
	first.Note("house", "", "", schema.House{Writes: schema.Writes{Of: house}, Name: new("East")})
	for i, id := range b.beds {
		first.Note("bed", "", id, schema.Bed{Writes: schema.Writes{Of: id}, House: &house, Name: new(fmt.Sprint("E", i)), Rows: new(10), Across: new(5), LengthMM: new(2000), WidthMM: new(900)})
	}
	for i, id := range b.lots {
		first.Note("lot", id, "", schema.Lot{Writes: schema.Writes{Of: id}, Tag: new(fmt.Sprint("T-", i)), Crop: new("azalea"), PotMM: new(130)})
	}
	for i, id := range b.spans {
		first.Note("span", b.lots[i], b.beds[i], schema.Span{Writes: schema.Writes{Of: id}, Lot: &b.lots[i], Bed: &b.beds[i], FromRow: new(1), ToRow: new(10)})
		first.Note("count", b.lots[i], "", schema.Count{Lot: b.lots[i], Span: id, Change: 50, Reason: "potted"})
	}
	// The last walk's opening may come later than its pots.
	for i, id := range b.walks[:4] {
		first.Note("walk", "", b.beds[i%3], schema.Walk{Walk: id, Bed: b.beds[i%3], Planned: 6})
		for pot := range 6 {
			now := schema.Observation{
				Walk: id, Bed: b.beds[i%3], Lot: b.lots[i%3], HeadAMM: new(240 + 10*pot + i), Place: &schema.Place{Row: 1 + pot, Across: 1}, Planned: true,
			}
			b.pots = append(b.pots, first.Note("observation", now.Lot, now.Bed, now))
		}
	}
	return b
}

func (b *busy) one(from []string, of string) string { return rapid.SampledFrom(from).Draw(b.T, of) }

func (b *busy) pot() schema.Observation {
	head := rapid.IntRange(200, 320).Draw(b.T, "head")
	return schema.Observation{
		Walk: b.one(b.walks, "walk"), Bed: b.one(b.beds, "bed"), Lot: b.one(b.lots, "lot"), HeadAMM: &head, RootCover: new(rapid.IntRange(1, 5).Draw(b.T, "cover")),
		Place: &schema.Place{Row: rapid.IntRange(1, 10).Draw(b.T, "row"), Across: rapid.IntRange(1, 5).Draw(b.T, "across")}, Planned: true,
	}
}

// writes are the kinds of notes; each writes one by a phone.
var writes = map[string]func(*busy, *testphone.Phone){
	"pot": func(b *busy, p *testphone.Phone) {
		now := b.pot()
		b.pots = append(b.pots, p.Note("observation", now.Lot, now.Bed, now))
	},
	"more pots": func(b *busy, p *testphone.Phone) {
		now := b.pot()
		for i := range 6 {
			now.Place = &schema.Place{Row: 1 + i, Across: 1}
			b.pots = append(b.pots, p.Note("observation", now.Lot, now.Bed, now))
		}
	},
	// Into any walk of any bed.
	"correction": func(b *busy, p *testphone.Phone) {
		if len(b.pots) == 0 {
			return
		}
		pot, now := b.one(b.pots, "pot"), b.pot()
		p.Note("correction", now.Lot, now.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: now})
	},
	"void": func(b *busy, p *testphone.Phone) {
		if len(b.pots) == 0 {
			return
		}
		pot := b.one(b.pots, "pot")
		p.Note("void", "", "", schema.Void{Names: pot, Records: []string{"pot:" + pot}, Why: "mistake"})
	},
	"walk": func(b *busy, p *testphone.Phone) {
		walk, bed := b.one(b.walks, "walk"), b.one(b.beds, "bed")
		round := rapid.SampledFrom([]string{"", "", testphone.ID("round")}).Draw(b.T, "round")
		id := p.Note("walk", "", bed, schema.Walk{Walk: walk, Bed: bed, Planned: rapid.IntRange(1, 9).Draw(b.T, "planned"), Round: round})
		if rapid.IntRange(0, 3).Draw(b.T, "void it") == 0 {
			p.Note("void", "", "", schema.Void{Names: id, Records: []string{"walk:" + walk}, Why: "mistake"})
		}
	},
	"walk end": func(b *busy, p *testphone.Phone) {
		bed := b.one(b.beds, "bed")
		p.Note("walk_end", "", bed, schema.WalkEnd{Walk: b.one(b.walks, "walk"), Bed: bed, Why: "enough"})
	},
	"round": func(b *busy, p *testphone.Phone) {
		bed := b.one(b.beds, "bed")
		p.Note("round", "", bed, schema.Round{Writes: schema.Writes{Of: testphone.ID("round")}, Bed: &bed, Walk: new(b.one(b.walks, "walk"))})
	},
	"span": func(b *busy, p *testphone.Phone) {
		lot, bed := b.one(b.lots, "lot"), b.one(b.beds, "bed")
		from := rapid.IntRange(1, 5).Draw(b.T, "from")
		p.Note("span", lot, bed, schema.Span{
			Writes: schema.Writes{Of: b.one(b.spans, "span")}, Lot: &lot, Bed: &bed, FromRow: &from, ToRow: new(from + 4), Ended: new(rapid.Bool().Draw(b.T, "ended")),
		})
	},
	"count": func(b *busy, p *testphone.Phone) {
		lot := b.one(b.lots, "lot")
		p.Note("count", lot, "", schema.Count{Lot: lot, Span: b.one(b.spans, "span"), Change: rapid.SampledFrom([]int{40, 60, -3}).Draw(b.T, "change"), Reason: "other"})
	},
	"booking": func(b *busy, p *testphone.Phone) {
		lot := b.one(b.lots, "lot")
		p.Note("booking", lot, "", schema.Booking{
			Writes: schema.Writes{Of: testphone.ID("booking")}, Lot: &lot, Grade: new("florist"), Pots: new(rapid.IntRange(1, 30).Draw(b.T, "pots")),
		})
	},
	"lot": func(b *busy, p *testphone.Phone) {
		lot := b.one(b.lots, "lot")
		p.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, PotMM: new(rapid.SampledFrom([]int{110, 130}).Draw(b.T, "size")), ShipWeek: new("2001-W40")})
	},
	"profile": func(b *busy, p *testphone.Phone) {
		grades := []schema.Grade{{Name: "florist", PotMM: 130, HeadMinMM: new(rapid.IntRange(200, 280).Draw(b.T, "least"))}}
		p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: testphone.ID("profile")}, Crop: new("azalea"), Grades: &grades})
	},
	"site": func(b *busy, p *testphone.Phone) {
		zone := rapid.SampledFrom([]string{"Europe/Dublin", "Pacific/Auckland"}).Draw(b.T, "zone")
		p.Note("site", "", "", schema.Site{Writes: schema.Writes{Of: testphone.ID("site")}, Name: new("Testing House"), TimeZone: &zone})
	},
}

func (b *busy) push(t *testing.T, store *journal.Store, i int) {
	p := b.phones[i]
	if b.pushed[i] == len(p.Raw) {
		return
	}
	if _, err := store.Push(t.Context(), p.All(b.pushed[i]+1), journal.Sender{Device: p.Device}); err != nil {
		b.Fatal(err)
	}
	b.pushed[i] = len(p.Raw)
}

// everything is all that the views say, as text by what was asked.
func everything(t *rapid.T, b *busy, v *view.Views) map[string]string {
	said := map[string]string{}
	put := func(name string, one any, err error) {
		raw, wrong := json.Marshal(one)
		if err != nil || wrong != nil {
			t.Fatal(name, err, wrong)
		}
		said[name] = string(raw)
	}
	ctx := t.Context()
	beds, err := v.Beds(ctx, "")
	beds.Version = ""
	put("beds", beds, err)
	for _, id := range b.beds {
		one, err := v.Bed(ctx, id, "")
		put("bed "+id, one, err)
		for _, w := range one.Walks {
			again, err := v.Bed(ctx, id, w.Walk)
			put("bed "+id+" walk "+w.Walk, again, err)
		}
	}
	lots, err := v.Lots(ctx, view.LotsAsk{Sort: "uniformity"})
	put("lots", lots, err)
	names, err := v.Names(ctx)
	put("names", names, err)
	for _, id := range b.lots {
		one, err := v.Lot(ctx, id)
		put("lot "+id, one, err)
	}
	scouts, err := v.Scouts(ctx)
	put("scouts", scouts, err)
	briefing, err := v.FieldBriefing(ctx, b.phones[0].Person)
	put("briefing", briefing, err)
	return said
}

func TestWhatIsRememberedAndWhatIsStoredSayTheSameAsAllThatIsComputedAgain(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := newBusy(rt)
		file, err := db.Open(t.Context(), db.Options{Path: filepath.Join(testphone.Ready(t), db.File)})
		if err != nil {
			rt.Fatal(err)
		}
		defer file.Close()
		now := func() time.Time { return time.UnixMilli(1_000_000_100_000) }
		store, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(file), Dir: file.Dir(), Now: now})
		if err != nil {
			rt.Fatal(err)
		}
		defer store.Close()
		gate := access.New(access.Options{Store: lite.Access(file), Dir: file.Dir(), Now: now})
		b.push(t, store, 0)
		kinds := slices.Sorted(maps.Keys(writes))
		// One set of views that is never closed, and one that is begun again from what is stored.
		long, short := view.New(store, gate), view.New(store, gate)
		everything(rt, b, long)
		// What a page holds that hears of changes alone.
		var held schema.BedsView
		for range rapid.IntRange(1, 30).Draw(rt, "steps") {
			i := rapid.IntRange(0, len(b.phones)-1).Draw(rt, "phone")
			switch rapid.SampledFrom([]string{"write", "write", "write", "push", "look", "look for changes", "look elsewhere", "store", "start again"}).Draw(rt, "step") {
			case "write":
				writes[rapid.SampledFrom(kinds).Draw(rt, "kind")](b, b.phones[i])
				if rapid.Bool().Draw(rt, "at once") {
					b.push(t, store, i)
				}
			case "push":
				b.push(t, store, i)
			case "look":
				everything(rt, b, long)
			case "look for changes":
				change, err := long.Beds(t.Context(), held.Version)
				if err != nil {
					rt.Fatal(err)
				}
				held = together(rt, held, change)
				whole, err := long.Beds(t.Context(), "")
				if err != nil || asText(t, held) != asText(t, whole) {
					rt.Fatalf("with the changes:\n%s\nwhole:\n%s\n%v", asText(t, held), asText(t, whole), err)
				}
			case "look elsewhere":
				if _, err := short.Bed(t.Context(), b.one(b.beds, "bed"), ""); err != nil {
					rt.Fatal(err)
				}
			case "store":
				if err := short.Save(t.Context()); err != nil {
					rt.Fatal(err)
				}
			case "start again":
				short = view.New(store, gate)
			}
		}
		for i := range b.phones {
			b.push(t, store, i)
		}
		have := map[string]map[string]string{"remembered": everything(rt, b, long), "stored": everything(rt, b, view.New(store, gate)), "begun again": everything(rt, b, short)}
		if err := store.ForgetScores(t.Context()); err != nil {
			rt.Fatal(err)
		}
		for name, want := range everything(rt, b, view.New(store, gate)) {
			for by, said := range have {
				if said[name] != want {
					rt.Fatalf("%s, %s:\n%s\ncomputed again:\n%s", name, by, said[name], want)
				}
			}
		}
	})
}
