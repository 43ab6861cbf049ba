package fold

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Elsewhere finds the lots that never stood in one of these houses: each has a stretch of bed, and every stretch that was ever written down
// for it, ended or not, lies on a bed of another house. Where people disagree, each of the values counts. A bed that nobody has written
// down or put into a house may be in one of these, and so may any lot whose stretch cannot be read: nil where there is such a stretch, as
// for no houses.
//
// Stretches that have ended count, because the walks of a bed are whole only with the pots of every lot that stood on it.
func Elsewhere(spans, beds []schema.Record, houses map[string]bool) map[string]bool {
	if len(houses) == 0 {
		return nil
	}
	away := map[string]bool{}
	for _, bed := range beds {
		if in, sure := idsOf(bed, "house"); sure && !slices.ContainsFunc(in, func(id string) bool { return houses[id] }) {
			away[strings.TrimPrefix(bed.Key, "bed:")] = true
		}
	}
	lots := map[string]bool{}
	for _, span := range spans {
		if span.Register == nil {
			return nil
		}
		on, sure := idsOf(span, "bed")
		isAway := sure && !slices.ContainsFunc(on, func(bed string) bool { return !away[bed] })
		of, _ := idsOf(span, "lot")
		for _, lot := range of {
			before, met := lots[lot]
			lots[lot] = isAway && (before || !met)
		}
	}
	maps.DeleteFunc(lots, func(_ string, isAway bool) bool { return !isAway })
	return lots
}

// Houses are a person's own: those of every value that stands. None where there is no value, or one of them names no house: that is
// somebody who walks them all.
func Houses(person schema.Record) (houses []string) {
	if person.Register == nil {
		return nil
	}
	field := person.Register.Fields["houses"]
	for _, value := range valuesOf(field) {
		var ids []string
		if json.Unmarshal(value, &ids) != nil || len(ids) == 0 {
			return nil
		}
		houses = append(houses, ids...)
	}
	return houses
}

// idsOf are the ids that stand for a field of a register. Sure is false where there is none, or where somebody says that it is empty.
func idsOf(record schema.Record, name string) (ids []string, sure bool) {
	if record.Register == nil {
		return nil, false
	}
	values := valuesOf(record.Register.Fields[name])
	for _, value := range values {
		if id, ok := journal.Text(value); ok && id != "" {
			ids = append(ids, id)
		}
	}
	return ids, len(ids) > 0 && len(ids) == len(values)
}

func valuesOf(field schema.Field) (values []json.RawMessage) {
	if len(field.Value) > 0 {
		values = append(values, field.Value)
	}
	for _, other := range field.Others {
		values = append(values, other.Value)
	}
	return values
}
