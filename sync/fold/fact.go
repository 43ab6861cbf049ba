package fold

import "bedwalk/schema"

// foldFact makes the record of a single note, as it was written. It belongs to the lot and bed that its envelope names.
func foldFact(record *schema.Record, id string, of class, set []*schema.Stamped) {
	for _, s := range set {
		if s.Entry.ID != id || classes[s.Entry.Kind] != of {
			continue
		}
		record.Lot, record.Bed = s.Entry.Lot, s.Entry.Bed
		record.Fact = &schema.Fact{Kind: s.Entry.Kind, Body: s.Entry.Body, By: author(s), Voided: voidsIn(set).of(s)}
	}
}
