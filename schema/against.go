package schema

import "fmt"

// Lookup is what CheckAgainst asks of the nursery's records, the entries of the same batch before this one included.
type Lookup interface {
	// BedShape gives the rows and pots across of a bed, 0 where nobody has written them.
	BedShape(id string) (rows, across int, known bool)
	HasLot(id string) bool
	HasSpan(id string) bool
	HasWalk(id string) bool
}

// CheckAgainst lists what is wrong with an entry in the light of the nursery's records: a lot, bed, stretch or walk
// that nobody knows, and rows and places that the bed does not have. It expects an entry that Check finds nothing
// wrong with, and knows nothing to say of an unknown kind. What is unknown now may arrive later, from a phone that
// sends again after a restore: whoever holds such an entry asks anew then.
func CheckAgainst(e Entry, look Lookup) []Fault {
	body, err := DecodeBody(e.Kind, e.Body)
	if err != nil {
		return nil
	}
	a := &against{look: look}
	if e.Kind != "lot" {
		a.lot("lot", e.Lot)
	}
	if e.Kind != "bed" {
		a.bed("bed", e.Bed)
	}
	a.body(body, e.Bed)
	return a.faults
}

type against struct {
	look   Lookup
	faults []Fault
}

func (a *against) body(body any, bed string) {
	switch b := body.(type) {
	case *Lot:
		if b.Parent != nil {
			a.lot("body.parent", *b.Parent)
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
	case *Application:
		for i, id := range b.Beds {
			a.bed(fmt.Sprintf("body.beds[%d]", i), id)
		}
	}
}

func (a *against) observation(under string, o *Observation) {
	a.walk(under+"walk", o.Walk)
	if o.Place != nil {
		a.place(o.Bed, under+"place.", o.Place)
	}
}

func (a *against) add(field, code, limit, message string) {
	a.faults = append(a.faults, Fault{field, code, limit, message})
}

func (a *against) lot(field, id string) {
	if id != "" && !a.look.HasLot(id) {
		a.add(field, CodeUnknownLot, "a lot of this nursery",
			"No lot has the id "+quote(id)+". Choose a lot from the list, or write the lot first.")
	}
}

func (a *against) bed(field, id string) {
	if id == "" {
		return
	}
	if _, _, known := a.look.BedShape(id); !known {
		a.add(field, CodeUnknownBed, "a bed of this nursery",
			"No bed has the id "+quote(id)+". Choose a bed from the list, or write the bed first.")
	}
}

func (a *against) span(field, id string) {
	if id != "" && !a.look.HasSpan(id) {
		a.add(field, CodeUnknownSpan, "a stretch of a bed",
			"No stretch of a bed has the id "+quote(id)+". Write where the lot stands first, or leave the stretch out.")
	}
}

func (a *against) walk(field, id string) {
	if !a.look.HasWalk(id) {
		a.add(field, CodeUnknownWalk, "a walk that was started", "No walk has the id "+quote(id)+". Start the walk before noting pots in it.")
	}
}

func (a *against) row(bed, field string, row *int) {
	if rows, _, known := a.look.BedShape(bed); row != nil && known && rows > 0 && *row > rows {
		a.add(field, CodeOutsideBed, fmt.Sprintf("1 to %d", rows),
			fmt.Sprintf("Row %d lies past the end of the bed, which has %d rows. Enter a row from 1 to %d.", *row, rows, rows))
	}
}

func (a *against) place(bed, under string, p *Place) {
	a.row(bed, under+"row", &p.Row)
	if _, across, known := a.look.BedShape(bed); known && across > 0 && p.Across > across {
		a.add(under+"across", CodeOutsideBed, fmt.Sprintf("1 to %d", across),
			fmt.Sprintf("Place %d across is beyond the bed, which is %d pots wide. Enter a place from 1 to %d.", p.Across, across, across))
	}
}
