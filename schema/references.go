package schema

import "fmt"

// Lookup is what CheckReferences asks of the nursery's records, the entries of the same batch before this one included.
type Lookup interface {
	// BedShape gives the rows and pots across of a bed, 0 where nobody has written them.
	BedShape(id string) (rows, across int, known bool)
	HasLot(id string) bool
	HasSpan(id string) bool
	HasWalk(id string) bool
}

// CheckReferences lists what is wrong with an entry in the light of the nursery's records: a lot, bed, stretch or walk
// that nobody knows, and rows and places that the bed does not have. It expects an entry that Check finds nothing
// wrong with and the body that Check gave; an unknown kind has none, and nothing is wrong with it. What is unknown now may
// arrive later, from a phone that sends again after a restore: such an entry is checked again then.
func CheckReferences(e Entry, body any, look Lookup) []Fault {
	if body == nil {
		return nil
	}
	a := &references{look: look}
	if e.Kind != "lot" {
		a.lot("lot", e.Lot)
	}
	if e.Kind != "bed" {
		a.bed("bed", e.Bed)
	}
	a.body(body, e.Bed)
	return a.faults
}

type references struct {
	look   Lookup
	faults []Fault
}

func (a *references) body(body any, bed string) {
	switch b := body.(type) {
	case *Lot:
		if b.Parent != nil {
			a.lot("body.parent", *b.Parent)
		}
		if b.Mother != nil {
			a.lot("body.mother", *b.Mother)
		}
	case *Span:
		a.row(bed, "body.from_row", b.FromRow)
		a.row(bed, "body.to_row", b.ToRow)
	case *Observation:
		a.observation("body.", b)
	case *Correction:
		a.observation("body.now.", &b.Now)
	case *Walk:
		for i := range b.Places {
			a.place(b.Bed, fmt.Sprintf("body.places[%d].", i), &b.Places[i])
		}
	case *WalkEnd:
		a.walk("body.walk", b.Walk)
	case *Skip:
		a.walk("body.walk", b.Walk)
		a.place(b.Bed, "body.place.", &b.Place)
	case *Count:
		a.span("body.span", b.Span)
	case *Recount:
		a.span("body.span", b.Span)
	case *Move:
		for i, leg := range b.Legs {
			a.lot(fmt.Sprintf("body.legs[%d].lot", i), leg.Lot)
			a.span(fmt.Sprintf("body.legs[%d].span", i), leg.Span)
		}
	case *Event:
		a.lot("body.to", b.To)
	case *Application:
		for i, id := range b.Lots {
			a.lot(fmt.Sprintf("body.lots[%d]", i), id)
		}
		for i, id := range b.Beds {
			a.bed(fmt.Sprintf("body.beds[%d]", i), id)
		}
	}
}

func (a *references) observation(under string, o *Observation) {
	a.walk(under+"walk", o.Walk)
	if o.Place != nil {
		a.place(o.Bed, under+"place.", o.Place)
	}
}

func (a *references) add(f Fault) { a.faults = append(a.faults, f) }

func (a *references) lot(field, id string) {
	if id != "" && !a.look.HasLot(id) {
		a.add(Fault{Field: field, Code: CodeUnknownLot, Value: shorten(id)})
	}
}

func (a *references) bed(field, id string) {
	if id == "" {
		return
	}
	if _, _, known := a.look.BedShape(id); !known {
		a.add(Fault{Field: field, Code: CodeUnknownBed, Value: shorten(id)})
	}
}

func (a *references) span(field, id string) {
	if id != "" && !a.look.HasSpan(id) {
		a.add(Fault{Field: field, Code: CodeUnknownSpan, Value: shorten(id)})
	}
}

func (a *references) walk(field, id string) {
	if !a.look.HasWalk(id) {
		a.add(Fault{Field: field, Code: CodeUnknownWalk, Value: shorten(id)})
	}
}

func (a *references) row(bed, field string, row *int) {
	if rows, _, known := a.look.BedShape(bed); row != nil && known && rows > 0 && *row > rows {
		a.outside(field, *row, rows)
	}
}

func (a *references) place(bed, under string, p *Place) {
	a.row(bed, under+"row", &p.Row)
	if _, across, known := a.look.BedShape(bed); known && across > 0 && p.Across > across {
		a.outside(under+"across", p.Across, across)
	}
}

func (a *references) outside(field string, value, last int) {
	a.add(Fault{Field: field, Code: CodeOutsideBed, Value: value, Min: bound(1), Max: bound(last)})
}
