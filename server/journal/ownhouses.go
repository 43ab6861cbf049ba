package journal

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// OwnHouses is what a device says in place of a list of houses: those of its person, as the journal has them.
const OwnHouses = "own"

// maxHouses is as many as a person may have of their own.
const maxHouses = 100

// elsewhere remembers what a few first pulls leave out of other houses: each of their pages, of notes and of sums, asks for it.
type elsewhere struct {
	mu   sync.Mutex
	lots map[firstPull]otherLots
}

// otherLots are lots that a first pull leaves out because they stand in other houses: their ids in ascending order, and their numbers.
type otherLots struct {
	ids     []string
	numbers []int64
}

// hour in ms.
const hour = int64(time.Hour / time.Millisecond)

// mostElsewhere is how many first pulls are remembered. One that is forgotten is computed again.
const mostElsewhere = 8

// readHouses reads a list of ids in ascending order, as a resume has it, or in any order and with commas, as a device gives it.
func readHouses(text, between string) ([]string, error) {
	if text == "" {
		return nil, nil
	}
	houses := strings.Split(text, between)
	if len(houses) > maxHouses || slices.ContainsFunc(houses, func(id string) bool { return !isID(id) }) {
		return nil, schema.NewProblem(http.StatusBadRequest, CodeParameter, fmt.Sprintf("Parameter houses is %q.", shorten(text, 60)),
			fmt.Sprintf("Give %q, or up to %d ids of houses with commas between them.", OwnHouses, maxHouses))
	}
	return sortedHouses(houses), nil
}

func sortedHouses(houses []string) []string {
	slices.Sort(houses)
	return slices.Compact(houses)
}

func isID(text string) bool {
	return len(text) == 32 && strings.Trim(text, "0123456789abcdef") == ""
}

// housesOf are those that a first pull is about: of the person whose device begins it, or those that it names.
func housesOf(snap Snap, named, person string) ([]string, error) {
	if named != OwnHouses {
		return readHouses(named, ",")
	}
	record, _, err := newest(snap).Record("person:" + person)
	if err != nil {
		return nil, err
	}
	houses := sortedHouses(fold.Houses(record))
	if len(houses) > maxHouses {
		// Only people who disagree can name so many: then nothing is left out for it.
		return nil, nil
	}
	return houses, nil
}

// elsewhere are the lots that a first pull leaves out because they stand in other houses than its own.
func (s *Store) elsewhere(snap Snap, f firstPull) (lots otherLots, err error) {
	if f.houses == "" {
		return lots, nil
	}
	// Of when it began only the hour matters, so that those who begin after each other share what is remembered.
	f.at -= f.at % hour
	s.elsewhereOf.mu.Lock()
	known, ok := s.elsewhereOf.lots[f]
	s.elsewhereOf.mu.Unlock()
	if ok {
		return known, nil
	}
	if lots.ids, err = lotsElsewhere(snap, f); err != nil {
		return lots, err
	}
	if lots.numbers, err = snap.Lots(lots.ids); err != nil {
		return lots, err
	}
	s.elsewhereOf.mu.Lock()
	defer s.elsewhereOf.mu.Unlock()
	if len(s.elsewhereOf.lots) >= mostElsewhere || s.elsewhereOf.lots == nil {
		s.elsewhereOf.lots = map[firstPull]otherLots{}
	}
	s.elsewhereOf.lots[f] = lots
	return lots, nil
}

// lotsElsewhere are the ids of those lots in ascending order, by what the journal said at the end of the first pull. One that has moved out of
// the houses is among them a month later.
func lotsElsewhere(snap Snap, f firstPull) (lots []string, _ error) {
	houses, err := readHouses(f.houses, ".")
	if err != nil || len(houses) == 0 {
		return nil, err
	}
	spans, err := recordsAt(snap, "span", f.upTo)
	if err != nil {
		return nil, err
	}
	beds, err := recordsAt(snap, "bed", f.upTo)
	if err != nil {
		return nil, err
	}
	own := map[string]bool{}
	for _, house := range houses {
		own[house] = true
	}
	for lot := range fold.Elsewhere(spans, beds, own, f.at-leftAfter) {
		lots = append(lots, lot)
	}
	slices.Sort(lots)
	return lots, nil
}

// recordsAt are the records of a kind as they were at a head. One that can no longer be folded is the zero record.
func recordsAt(snap Snap, kind string, upTo int64) (all []schema.Record, err error) {
	then := &Snapshot{snap, upTo}
	err = then.records(Which{Kinds: []string{kind}, UpTo: &upTo}, unnumbered(func(r schema.Record) error {
		all = append(all, r)
		return nil
	}))
	if err != nil {
		return nil, err
	}
	keys, err := snap.KeysOfKind(kind, upTo)
	if err != nil {
		return nil, err
	}
	for _, key := range keys {
		entries, err := then.EntriesOf(key)
		if err != nil {
			return nil, err
		}
		if record, there, err := fold.Try(key, entries); there || err != nil {
			all = append(all, record)
		}
	}
	return all, nil
}

// upToPosition are the entries up to a position, of entries in that order.
func upToPosition(entries []schema.Stamped, upTo int64) []schema.Stamped {
	for i, e := range entries {
		if e.Position > upTo {
			return entries[:i]
		}
	}
	return entries
}

// leavingAt is what may leave of a lot, as it was at a head: the sums of now, with what has come since taken out. Strayed are the entries
// that stay only since then. Work is how many entries were read for it.
func leavingAt(snap Snap, lot string, upTo int64, strayed []int64) (l Leaving, work int, err error) {
	numbers, err := snap.Lots([]string{lot})
	if err != nil || len(numbers) == 0 {
		return l, 0, err
	}
	if l, err = snap.LeavingSum(numbers[0]); err != nil {
		return l, 0, err
	}
	lines, err := snap.ChangedIn(numbers[0], upTo, strayed)
	if err != nil {
		return l, 0, err
	}
	since := stampedOf(lines)
	keys := map[string]bool{}
	for _, e := range since {
		for _, key := range fold.Keys(e.Entry) {
			keys[key] = keys[key] || ofNotes(key)
		}
	}
	for key, isOfNotes := range keys {
		if !isOfNotes {
			continue
		}
		entries, err := newest(snap).EntriesOf(key)
		if err != nil {
			return l, 0, err
		}
		work += len(entries)
		now, err := partOf(snap, lot, key, entries)
		if err != nil {
			return l, 0, err
		}
		was, err := partOf(snap, lot, key, upToPosition(entries, upTo))
		if err != nil {
			return l, 0, err
		}
		l.Notes, l.Records = l.Notes.without(now.Notes).with(was.Notes), l.Records.without(now.Records).with(was.Records)
	}
	return l, work, nil
}

// partOf is a record's part in what may leave of a lot, with these entries.
func partOf(snap Snap, lot, key string, entries []schema.Stamped) (l Leaving, err error) {
	if of, strayed := fold.Whole(key, entries); len(entries) == 0 || strayed != 0 || of != lot {
		return l, nil
	}
	hashes, err := hashesIn(snap, entries)
	if err != nil {
		return l, err
	}
	for _, hash := range hashes {
		l.Notes = l.Notes.plus(1, hash)
	}
	if record, there, err := fold.Try(key, entries); err == nil && there {
		if hash, err := fold.Hash(record); err == nil {
			l.Records = l.Records.plus(1, hash)
		}
	}
	return l, nil
}

func hashesIn(snap Snap, entries []schema.Stamped) (hashes []journal.Sum, err error) {
	positions := make([]int64, len(entries))
	for i, e := range entries {
		positions[i] = e.Position
	}
	lines, err := snap.At(positions)
	for _, one := range lines {
		hashes = append(hashes, journal.Hash(one.Bytes, one.Stamp))
	}
	return hashes, err
}

// with and without are the sum with another put in or taken out.
func (d LotSum) with(other LotSum) LotSum {
	return LotSum{d.Count + other.Count, d.Sum.Add(other.Sum)}
}

func (d LotSum) without(other LotSum) LotSum {
	return LotSum{d.Count - other.Count, d.Sum.Sub(other.Sum)}
}
