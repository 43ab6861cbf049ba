package realrun

import (
	"fmt"
	"math/rand/v2"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// ground is a nursery to make notes in: beds of 60 rows by 12, a lot on each.
type ground struct{ bed, lot string }

// Plant writes down a house with n beds, a lot on each, from which Observe takes its pots.
func (p *Phone) Plant(n int) {
	house := testphone.ID("house of " + p.Device)
	p.Note("house", "", "", schema.House{Writes: schema.Writes{Of: house}, Name: ref("North"), LengthMM: ref(60000), WidthMM: ref(12000)})
	for i := range n {
		g := groundOf(p.Device, i)
		p.Note("bed", "", g.bed, schema.Bed{
			Writes: schema.Writes{Of: g.bed}, House: &house, Name: ref(fmt.Sprintf("N%d", i+1)), LengthMM: ref(20000), WidthMM: ref(1800),
			Rows: ref(60), Across: ref(12), EntryEnd: ref("door"), FarEnd: ref("fan"), Aisles: ref("both"),
		})
		p.Note("lot", g.lot, "", schema.Lot{Writes: schema.Writes{Of: g.lot}, Tag: ref(fmt.Sprintf("T-%d", i+1)), Crop: ref("azalea"), Cultivar: ref("=Ruddy"), PotMM: ref(150)})
		p.Note("span", g.lot, g.bed, schema.Span{Writes: schema.Writes{Of: testphone.ID("span of " + g.lot)}, Lot: &g.lot, Bed: &g.bed, FromRow: ref(1), ToRow: ref(60)})
	}
}

func groundOf(planter string, i int) ground {
	return ground{testphone.ID(fmt.Sprintf("bed %d of %s", i, planter)), testphone.ID(fmt.Sprintf("lot %d of %s", i, planter))}
}

// walkPots is how many pots a scout looks at on one bed.
const walkPots = 60

// Observe writes down n notes as a scout makes them, bed after bed of those that planter has planted: each walk is
// opened, some sixty pots follow at eight seconds each, and it is closed. Every value comes from chance.
func (p *Phone) Observe(chance *rand.Rand, planter string, beds, n int) {
	for last := len(p.Raw) + n; len(p.Raw) < last; {
		p.walk(chance, groundOf(planter, chance.IntN(beds)), last)
	}
}

func (p *Phone) walk(chance *rand.Rand, g ground, last int) {
	walk := testphone.ID(fmt.Sprintf("walk %d of %s", len(p.Raw), p.Device))
	p.after(chance, "walk", "", g.bed, schema.Walk{Walk: walk, Bed: g.bed, Seed: int64(chance.Uint32()), Planned: walkPots})
	head, buds := 180+chance.IntN(60), 40+chance.IntN(40)
	for i := 0; i < walkPots && len(p.Raw) < last-1; i++ {
		o := schema.Observation{
			Walk: walk, Bed: g.bed, Lot: g.lot, Place: &schema.Place{Row: 1 + i, Across: 1 + chance.IntN(12)}, Planned: true,
			HeadAMM: ref(head + chance.IntN(30)), HeadBMM: ref(head + chance.IntN(30)), Buds: ref(buds + chance.IntN(25)),
			RootCover: ref(3 + chance.IntN(3)), RootLife: ref(4 + chance.IntN(2)), Chlorosis: ref("none"),
		}
		if chance.IntN(12) == 0 {
			o.Chlorosis, o.Severity = ref("young"), ref(1+chance.IntN(3))
		}
		p.after(chance, "observation", g.lot, g.bed, o)
	}
	if len(p.Raw) < last {
		p.after(chance, "walk_end", "", g.bed, schema.WalkEnd{Walk: walk, Bed: g.bed, Why: "planned"})
	}
}

// after is a note some eight seconds after the last one.
func (p *Phone) after(chance *rand.Rand, kind, lot, bed string, body any) {
	e := p.Entry(kind, lot, bed, body)
	passed := 8000*int64(e.Seq) + chance.Int64N(4000)
	e.Wall, e.Mono = p.Wall+passed, passed
	p.Write(e)
}

func ref[T any](v T) *T { return &v }
