package fold

import "bedwalk/schema"

// foldWalk keeps a walk's first opening and its last end that is not voided. A void of an opening voids the walk; a void
// of an end voids that end alone.
func foldWalk(record *schema.Record, id string, set []*schema.Stamped) {
	all := voidsIn(set)
	part := schema.WalkPart{}
	var openings []*schema.Stamped
	for _, s := range set {
		switch s.Entry.Kind {
		case "walk":
			body, ok := read[schema.Walk](s.Entry.Body)
			if !ok || body.Walk != id {
				continue
			}
			openings = append(openings, s)
			if part.Open == nil {
				by := author(s)
				part.Open, part.By, record.Bed = &body, &by, body.Bed
			}
		case "walk_end":
			body, ok := read[schema.WalkEnd](s.Entry.Body)
			if !ok || body.Walk != id {
				continue
			}
			record.Walk = &part
			if part.Open == nil {
				record.Bed = body.Bed
			}
			if all.of(s) == nil {
				by := author(s)
				part.End, part.EndBy = &body, &by
			}
		}
	}
	if openings != nil {
		record.Walk = &part
		part.Voided = all.of(openings...)
	}
}
