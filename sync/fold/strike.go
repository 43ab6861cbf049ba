package fold

import (
	"slices"

	"bedwalk/schema"
)

// strikes are the voids among a record's entries, in merge order, and what takes them back.
type strikes struct {
	voids  []void
	undone []schema.Unvoid
}

type void struct {
	by   *schema.Stamped
	body schema.Void
}

func strikesIn(set []*schema.Stamped) strikes {
	var all strikes
	for _, s := range set {
		switch s.Entry.Kind {
		case "void":
			if body, ok := read[schema.Void](s.Entry.Body); ok {
				all.voids = append(all.voids, void{s, body})
			}
		case "unvoid":
			if body, ok := read[schema.Unvoid](s.Entry.Body); ok {
				all.undone = append(all.undone, body)
			}
		}
	}
	return all
}

// of gives the highest standing void of any of some entries, nil when none of them is struck out. A void stands only
// when it names all records of its target: else one lot would take back its leg of a move and the other would not, and
// pots would appear from nothing.
func (all strikes) of(targets ...*schema.Stamped) *schema.Voided {
	for i := len(all.voids) - 1; i >= 0; i-- {
		v := all.voids[i]
		for _, target := range targets {
			if v.body.Names != target.Entry.ID {
				continue
			}
			keys := Keys(target.Entry)
			if covers(v.body.Records, keys) && !all.takenBack(v, keys) {
				return &schema.Voided{By: author(v.by), Why: v.body.Why, Words: v.body.Words}
			}
		}
	}
	return nil
}

func (all strikes) takenBack(v void, keys []string) bool {
	return slices.ContainsFunc(all.undone, func(u schema.Unvoid) bool {
		return u.Names == v.by.Entry.ID && covers(u.Records, keys)
	})
}

func covers(records, keys []string) bool {
	return !slices.ContainsFunc(keys, func(k string) bool { return !slices.Contains(records, k) })
}
