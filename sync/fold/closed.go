package fold

import (
	"strings"

	"bedwalk/schema"
)

// Closed is true for a lot that is over: it is Shipped, its ledger says that no pots are left, and every stretch of bed that it stood on is
// ended by one live word. Spans are those whose record belongs to the lot; a record that is not there is the zero one.
func Closed(lot, stock schema.Record, spans []schema.Record) bool {
	if !Shipped(lot) || stock.Stock == nil || stock.Stock.Pots != 0 {
		return false
	}
	for _, span := range spans {
		if ended, ok := undisputed(span, "ended"); !ok || ended != "true" {
			return false
		}
	}
	return true
}

// Shipped is true for a lot whose day of shipping is written down by one live word.
func Shipped(lot schema.Record) bool {
	day, ok := undisputed(lot, "shipped_on")
	return ok && len(day) > 2 && day[0] == '"'
}

// undisputed is the text of a register's value that one live write alone gives.
func undisputed(record schema.Record, name string) (value string, ok bool) {
	if record.Register == nil {
		return "", false
	}
	field, ok := record.Register.Fields[name]
	return string(field.Value), ok && len(field.Live) == 1
}

// Whole says of the entries of a record, which stand in the order of their positions, whether a device may be without them and still
// lack nothing of any other record: they are of one pot or fact, the first is the pot's or fact's own note, and each is of the same lot and
// has a part in this record alone. Strayed is the position of the first with which that is no longer so, 0 where it is; an
// entry that comes later changes no earlier answer. Lot is that of the first, "" where it has strayed itself.
func Whole(recordKey string, entries []schema.Stamped) (lot string, strayed int64) {
	for i, e := range entries {
		own := classes[e.Entry.Kind] == fact || classes[e.Entry.Kind] == pot
		if i == 0 {
			if !own || recordKey != "fact:"+e.Entry.ID && recordKey != "pot:"+e.Entry.ID || e.Entry.Lot == "" {
				return "", e.Position
			}
			lot = e.Entry.Lot
		}
		if e.Entry.Lot != lot || !InOne(e.Entry, Keys(e.Entry)) {
			return lot, e.Position
		}
	}
	return lot, 0
}

// InOne is true for an entry that has a part in one pot or fact and in nothing else, given its keys.
func InOne(e schema.Entry, keys []string) bool {
	if len(keys) != 1 {
		return false
	}
	switch classes[e.Kind] {
	case fact, pot, correction:
		return true
	case voiding:
		return strings.HasPrefix(keys[0], "pot:") || strings.HasPrefix(keys[0], "fact:")
	}
	return false
}
