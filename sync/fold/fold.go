package fold

import (
	"cmp"
	"slices"
	"strings"

	"bedwalk/schema"
)

// class says which part the entries of one kind have in records.
type class int

const (
	unknown class = iota
	register
	fact
	// trace is a fact with a key of its own: a void says by its record keys that it strikes out what only supervisors write.
	trace
	pot
	correction
	walk
	voiding
	ledger
	move
)

var classes = map[string]class{
	"site": register, "house": register, "bed": register, "lot": register, "span": register, "person": register,
	"profile": register, "booking": register, "round": register, "task": register, "matter": register, "cultivar": register,
	"skip": fact, "event": fact, "application": fact, "reading": fact, "rooting": fact, "note": fact, "photo": fact,
	"trace":       trace,
	"observation": pot, "correction": correction, "walk": walk, "walk_end": walk, "void": voiding, "unvoid": voiding,
	"count": ledger, "recount": ledger, "move": move,
}

// IsLedger is true for kinds whose numbers the fold adds up.
func IsLedger(kind string) bool { return classes[kind] == ledger || classes[kind] == move }

// Keys returns the keys of the records that an entry has a part in, each once: none for a kind or a body that this build cannot
// read.
func Keys(e schema.Entry) []string {
	switch classes[e.Kind] {
	case register:
		return key(e.Kind, textOf(e.Body, "of"))
	case fact:
		return key("fact", e.ID)
	case trace:
		return key("trace", e.ID)
	case pot:
		return key("pot", e.ID)
	case correction:
		return key("pot", textOf(e.Body, "pot"))
	case walk:
		return key("walk", textOf(e.Body, "walk"))
	case ledger:
		return key("stock", textOf(e.Body, "lot"))
	case move:
		return moveKeys(e)
	case voiding:
		// Void and Unvoid have the same members here.
		body, ok := read[schema.Unvoid](e.Body)
		if !ok {
			return nil
		}
		return once(body.Records)
	}
	return nil
}

func key(prefix, id string) []string {
	if id == "" {
		return nil
	}
	return []string{prefix + ":" + id}
}

func moveKeys(e schema.Entry) []string {
	body, ok := read[ledgerMove](e.Body)
	if !ok {
		return nil
	}
	keys := make([]string, 0, len(body.Legs))
	for _, leg := range body.Legs {
		keys = append(keys, key("stock", leg.Lot)...)
	}
	return once(keys)
}

func once(keys []string) []string {
	var out []string
	for _, k := range keys {
		if k != "" && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

// Order compares in merge order: by stamp, then device, incarnation and sequence. Pending entries, which only their own phone
// has, come after all others, by incarnation and sequence.
func Order(a, b schema.Stamped) int { return order(&a, &b) }

func order(a, b *schema.Stamped) int {
	aPending, bPending := a.Stamp.Quality == schema.Pending, b.Stamp.Quality == schema.Pending
	if aPending != bPending {
		if aPending {
			return 1
		}
		return -1
	}
	if !aPending {
		if c := cmp.Or(cmp.Compare(a.Stamp.At, b.Stamp.At), cmp.Compare(a.Entry.Device, b.Entry.Device)); c != 0 {
			return c
		}
	}
	return cmp.Or(
		cmp.Compare(a.Entry.Incarnation, b.Entry.Incarnation),
		cmp.Compare(a.Entry.Seq, b.Entry.Seq),
		cmp.Compare(a.Entry.Device, b.Entry.Device),
		cmp.Compare(a.Entry.ID, b.Entry.ID),
	)
}

// Fold makes the record of a key from the entries that name it. Their order does not matter, nor do entries given
// twice (of the same id) or entries of other keys. Bodies must be canonical, as journal.Parse leaves them. False means
// that there is no record: only voids of entries not yet seen, or nothing at all.
func Fold(recordKey string, entries []schema.Stamped) (schema.Record, bool) {
	prefix, id, found := strings.Cut(recordKey, ":")
	if !found || id == "" {
		return schema.Record{}, false
	}
	set := sorted(entries)
	record := schema.Record{Key: recordKey}
	switch prefix {
	case "pot":
		foldPot(&record, id, set)
	case "walk":
		foldWalk(&record, id, set)
	case "stock":
		foldStock(&record, id, set)
	case "fact":
		foldFact(&record, id, fact, set)
	case "trace":
		foldFact(&record, id, trace, set)
	default:
		if classes[prefix] == register {
			foldRegister(&record, prefix, id, set)
		}
	}
	made := record.Pot != nil || record.Walk != nil || record.Stock != nil || record.Fact != nil || record.Register != nil
	return record, made
}

// sorted brings entries into merge order, each id once. Of two entries of one id the one with a stamp stays, so that
// a phone may still hold an entry as pending when it comes back by a pull.
func sorted(entries []schema.Stamped) []*schema.Stamped {
	set := make([]*schema.Stamped, len(entries))
	for i := range entries {
		set[i] = &entries[i]
	}
	if len(set) < 2 {
		return set
	}
	slices.SortFunc(set, order)
	seen := make(map[string]bool, len(set))
	return slices.DeleteFunc(set, func(s *schema.Stamped) bool {
		twice := seen[s.Entry.ID]
		seen[s.Entry.ID] = true
		return twice
	})
}

func author(s *schema.Stamped) schema.Authorship {
	return schema.Authorship{Entry: s.Entry.ID, Person: s.Entry.Person, Device: s.Entry.Device, Stamp: s.Stamp}
}
