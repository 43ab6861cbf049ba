package fold

import (
	"slices"

	"bedwalk/schema"
)

// voids are the voids among a record's entries, by what they name, and the entries that undo them. They are looked up by
// name because a record may hold hundreds of lines and of voids: comparing each with each would grow with the square.
type voids struct {
	voids  map[string][]void
	undone map[string][]schema.Unvoid
}

// void is one void; at is its place in merge order among the entries.
type void struct {
	at   int
	by   *schema.Stamped
	body schema.Void
}

func voidsIn(set []*schema.Stamped) voids {
	all := voids{voids: map[string][]void{}, undone: map[string][]schema.Unvoid{}}
	for i, s := range set {
		switch s.Entry.Kind {
		case "void":
			if body, ok := read[schema.Void](s.Entry.Body); ok {
				all.voids[body.Names] = append(all.voids[body.Names], void{i, s, body})
			}
		case "unvoid":
			if body, ok := read[schema.Unvoid](s.Entry.Body); ok {
				all.undone[body.Names] = append(all.undone[body.Names], body)
			}
		}
	}
	return all
}

// of returns the highest valid void of any of some entries, nil when none of them is voided. A void is valid only when it
// names all records of its target: else one lot would undo its leg of a move and the other would not, and pots would
// appear from nothing.
func (all voids) of(targets ...*schema.Stamped) *schema.Voided {
	var highest *void
	for _, target := range targets {
		named := all.voids[target.Entry.ID]
		if len(named) == 0 {
			continue
		}
		keys := Keys(target.Entry)
		for i := len(named) - 1; i >= 0 && (highest == nil || named[i].at > highest.at); i-- {
			if v := &named[i]; covers(v.body.Records, keys) && !all.takenBack(v, keys) {
				highest = v
			}
		}
	}
	if highest == nil {
		return nil
	}
	return &schema.Voided{By: author(highest.by), Why: highest.body.Why, Words: highest.body.Words}
}

func (all voids) takenBack(v *void, keys []string) bool {
	return slices.ContainsFunc(all.undone[v.by.Entry.ID], func(u schema.Unvoid) bool { return covers(u.Records, keys) })
}

func covers(records, keys []string) bool {
	return !slices.ContainsFunc(keys, func(k string) bool { return !slices.Contains(records, k) })
}
