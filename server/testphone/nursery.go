package testphone

import "bedwalk/schema"

// Nursery is a small one: a house, a bed of 10 rows by 5, a lot on it, a walk.
type Nursery struct{ Site, House, Bed, Lot, Span, Walk, Profile string }

// Plant writes the small nursery down.
func (p *Phone) Plant() Nursery {
	n := Nursery{Site: ID("site"), House: ID("house"), Bed: ID("bed"), Lot: ID("lot"), Span: ID("span"), Walk: ID("walk " + p.Device), Profile: ID("profile")}
	p.Note("site", "", "", schema.Site{Writes: of(n.Site), Name: ptr("Testing House"), TimeZone: ptr("America/New_York")})
	p.Note("person", "", "", schema.Person{Writes: of(p.Person), Name: ptr("Wren"), Role: ptr("scout")})
	p.Note("house", "", "", schema.House{Writes: of(n.House), Name: ptr("East"), LengthMM: ptr(30000), WidthMM: ptr(8000)})
	p.Note("bed", "", n.Bed, schema.Bed{
		Writes: of(n.Bed), House: &n.House, Name: ptr("E1"), LengthMM: ptr(2000), WidthMM: ptr(1000), Rows: ptr(10), Across: ptr(5),
		EntryEnd: ptr("door"), FarEnd: ptr("fan"), Aisles: ptr("near"),
	})
	p.Note("lot", n.Lot, "", schema.Lot{Writes: of(n.Lot), Tag: ptr("T-1"), Crop: ptr("azalea"), Cultivar: ptr("=Ruddy"), PotMM: ptr(130)})
	p.Note("span", n.Lot, n.Bed, schema.Span{Writes: of(n.Span), Lot: &n.Lot, Bed: &n.Bed, FromRow: ptr(1), ToRow: ptr(10)})
	p.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Span: n.Span, Change: 50, Reason: "potted"})
	p.StartWalk(n)
	return n
}

// StartWalk writes down that a walk began.
func (p *Phone) StartWalk(n Nursery) {
	p.Note("walk", "", n.Bed, schema.Walk{Walk: n.Walk, Bed: n.Bed, Seed: 7, Planned: 12})
}

// Pot is an observation of one pot of the small nursery.
func (n Nursery) Pot(row, across, head, buds int) schema.Observation {
	return schema.Observation{
		Walk: n.Walk, Bed: n.Bed, Lot: n.Lot, Place: &schema.Place{Row: row, Across: across}, Planned: true,
		HeadAMM: &head, HeadBMM: &head, Buds: &buds, RootCover: ptr(4), RootLife: ptr(4), Chlorosis: ptr("none"),
	}
}

// See writes an observation down.
func (p *Phone) See(n Nursery, row, across, head, buds int) string {
	return p.Note("observation", n.Lot, n.Bed, n.Pot(row, across, head, buds))
}

func of(id string) schema.Writes { return schema.Writes{Of: id} }

func ptr[T any](v T) *T { return &v }
