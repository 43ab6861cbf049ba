package fold

import (
	"encoding/json"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Elsewhere finds the lots that stand in none of these houses, and have not stood in one since a time (ms since 1970): each has a stretch of bed,
// and every stretch that was ever written down for it lies on a bed of another house, or was ended by one undisputed write no later than that,
// while the lot stands on a bed of another house. Where people disagree, each of the values counts. A bed that nobody has written
// down or put into a house may be in one of these, and so may any lot whose stretch cannot be read: nil where there is such a stretch, as
// for no houses.
//
// Stretches that have ended lately count, because the newest walks of a bed are whole only with the pots of every lot that stood on it. A lot
// that stands nowhere stays too: nobody has said where else it is kept.
func Elsewhere(spans, beds []schema.Record, houses map[string]bool, since int64) map[string]bool {
	if len(houses) == 0 {
		return nil
	}
	away := map[string]bool{}
	for _, bed := range beds {
		if in, sure := idsOf(bed, "house"); sure && !slices.ContainsFunc(in, func(id string) bool { return houses[id] }) {
			away[strings.TrimPrefix(bed.Key, "bed:")] = true
		}
	}
	lots := map[string]places{}
	for _, span := range spans {
		if span.Register == nil {
			return nil
		}
		on, sure := idsOf(span, "bed")
		isAway := sure && !slices.ContainsFunc(on, func(bed string) bool { return !away[bed] })
		ended, isEnded := undisputed(span, "ended")
		isEnded = isEnded && ended == "true"
		hasLeft := isEnded && span.Register.Fields["ended"].By.Stamp.To <= since
		of, _ := idsOf(span, "lot")
		for _, lot := range of {
			l := lots[lot]
			l.here = l.here || !isAway && !hasLeft
			l.left = l.left || !isAway && hasLeft
			l.there = l.there || isAway && !isEnded
			lots[lot] = l
		}
	}
	elsewhere := map[string]bool{}
	for lot, l := range lots {
		if !l.here && (l.there || !l.left) {
			elsewhere[lot] = true
		}
	}
	return elsewhere
}

// places are where a lot stands or stood: here, in one of some houses; where it was there and has left; there, standing in another house.
type places struct{ here, left, there bool }

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
