package journal

import (
	"encoding/json"

	"bedwalk/schema"
)

// lookup answers schema.CheckAgainst from the records as they are within the batch, and remembers which keys were
// asked for and are not there, so that the entry can be let go when they come.
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
		// A value that is no number has been held at the door; a rogue one means "nobody has written it".
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

// checkReferences is CheckAgainst, and the keys that would cure it when nothing else is wrong.
func (b *batch) checkReferences(e schema.Entry) (faults []schema.Fault, wants []string, err error) {
	l := &lookup{b: b}
	faults = schema.CheckReferences(e, l)
	for _, f := range faults {
		switch f.Code {
		case schema.CodeUnknownLot, schema.CodeUnknownBed, schema.CodeUnknownSpan, schema.CodeUnknownWalk:
		default:
			return faults, nil, l.err
		}
	}
	return faults, l.missing, l.err
}
