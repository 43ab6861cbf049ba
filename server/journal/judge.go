package journal

import (
	"encoding/json"

	"bedwalk/schema"
)

// judge lists what keeps a readable entry from being merged: a reference that does not resolve, a record that would grow too
// large, a record that could not be written. Where the references are at fault, later records may cure it: referenced is true
// then, and missing names the records that would, if no other fault remains.
func (b *batch) judge(a arrival, st schema.Stamp) (faults []schema.Fault, missing []string, referenced bool, err error) {
	if faults, missing, err = b.checkReferences(a); err != nil || len(faults) > 0 {
		return faults, missing, true, err
	}
	if faults, err = b.shareFaults(a.entry, a.keys); err != nil || len(faults) > 0 {
		return faults, nil, false, err
	}
	faults, err = b.spoils(a, st)
	return faults, nil, false, err
}

// lookup implements schema.Lookup over the batch's records, uncommitted ones included. missing collects the keys not found, so
// that release can check the entry again once they exist.
type lookup struct {
	b       *batch
	missing []string
	err     error
}

var _ schema.Lookup = (*lookup)(nil)

func (l *lookup) find(key string) (schema.Record, bool) {
	record, exists, err := l.b.record(key)
	if err != nil {
		l.err = err
	}
	if !exists {
		l.missing = append(l.missing, key)
	}
	return record, exists
}

func (l *lookup) has(key string) bool {
	_, exists := l.find(key)
	return exists
}

// BedShape is schema.Lookup's.
func (l *lookup) BedShape(id string) (rows, across int, known bool) {
	record, known := l.find("bed:" + id)
	if !known || record.Register == nil {
		return 0, 0, known
	}
	number := func(field string) (n int) {
		// An entry whose value is not a number is quarantined on arrival; one that got in all the same counts as not written.
		_ = json.Unmarshal(record.Register.Fields[field].Value, &n)
		return n
	}
	return number("rows"), number("across"), true
}

// HasLot is schema.Lookup's.
func (l *lookup) HasLot(id string) bool { return l.has("lot:" + id) }

// HasSpan is schema.Lookup's.
func (l *lookup) HasSpan(id string) bool { return l.has("span:" + id) }

// HasWalk is schema.Lookup's. A walk of which only the end has arrived is not known yet.
func (l *lookup) HasWalk(id string) bool {
	key := "walk:" + id
	record, exists := l.find(key)
	if exists && (record.Walk == nil || record.Walk.Open == nil) {
		l.missing = append(l.missing, key)
		return false
	}
	return exists
}

// checkReferences is schema.CheckReferences, and the keys that would cure it when nothing else is wrong.
func (b *batch) checkReferences(a arrival) (faults []schema.Fault, wants []string, err error) {
	l := &lookup{b: b}
	faults = schema.CheckReferences(a.entry, a.body, l)
	for _, f := range faults {
		switch f.Code {
		case schema.CodeUnknownLot, schema.CodeUnknownBed, schema.CodeUnknownSpan, schema.CodeUnknownWalk:
		default:
			return faults, nil, l.err
		}
	}
	return faults, l.missing, l.err
}
