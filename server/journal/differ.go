package journal

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

func differing(own map[string]LotSum, told []schema.LotDigest) []string {
	var differ []string
	left := maps.Clone(own)
	for _, lot := range told {
		mine := own[lot.Lot]
		delete(left, lot.Lot)
		if mine.Count != int64(lot.Count) || mine.Sum.String() != lot.Sum {
			differ = append(differ, lot.Lot)
		}
	}
	for lot, mine := range left {
		if mine.Count > 0 {
			differ = append(differ, lot)
		}
	}
	slices.Sort(differ)
	return slices.Compact(differ)
}

// sumsOf are the server's own sums of some lots; zero where it has no note of a lot.
func sumsOf(lots []string, own map[string]LotSum) (all []schema.LotDigest) {
	for _, lot := range lots {
		all = append(all, schema.LotDigest{Lot: lot, Count: int(own[lot].Count), Sum: own[lot].Sum.String()})
	}
	return all
}

// differingRecords names the lots whose records are not those of the phone, where it sent their sums: none where it sent none.
func differingRecords(own map[string]LotSum, told []schema.LotDigest) []string {
	var differ []string
	sums := map[string]string{}
	for _, lot := range told {
		if lot.RecordSum != "" {
			sums[lot.Lot] = lot.RecordSum
		}
	}
	if len(sums) == 0 {
		return nil
	}
	none := journal.Sum{}.String()
	for lot, mine := range own {
		if sum, ok := sums[lot]; ok && sum != mine.Sum.String() || !ok && mine.Sum.String() != none {
			differ = append(differ, lot)
		}
		delete(sums, lot)
	}
	for lot, sum := range sums {
		if sum != none {
			differ = append(differ, lot)
		}
	}
	slices.Sort(differ)
	return differ
}

// totalOf is the hash over all records, from the sums of the lots' records.
func totalOf(sums map[string]LotSum) string {
	var all journal.Sum
	for _, lot := range sums {
		all = all.Add(lot.Sum)
	}
	return fold.Total(all)
}

// some are the first of the lots that differ, and whether there are others.
func some(lots []string) (first []string, more bool) {
	return lots[:min(len(lots), schema.MaxDiffer)], len(lots) > schema.MaxDiffer
}

// fewer is a lot of which a phone has let notes go and has counted more than the server has: once before it read the journal again, or
// at present.
type fewer struct {
	lot           string
	counted, here int64
	before        bool
}

func fewerThanCounted(own map[string]LotSum, told []schema.LotDigest) (all []fewer) {
	for _, lot := range told {
		switch here := own[lot.Lot].Count; {
		case int64(lot.Counted) > here:
			all = append(all, fewer{lot.Lot, int64(lot.Counted), here, true})
		case lot.Gone > 0 && int64(lot.Count) > here:
			all = append(all, fewer{lot.Lot, int64(lot.Count), here, false})
		}
	}
	return all
}

// codeFewer is the incident of a phone that has counted more notes of a lot than the server has, and no longer has them to give back. It is
// not over once the phone counts what the server has: somebody has to look for them.
const codeFewer = "fewer_than_counted"

func fileFewer(tx Tx, now int64, device string, all []fewer) error {
	const shown = 5
	var words []string
	for _, one := range all[:min(shown, len(all))] {
		words = append(words, fmt.Sprintf("lot %s: this phone counted %d notes, the server has %d", tagOf(tx, one.lot), one.counted, one.here))
	}
	if more := len(all) - shown; more > 0 {
		words = append(words, fmt.Sprintf("%d more lots", more))
	}
	return fileIncident(tx, now, device, codeFewer, strings.Join(words, "; ")+".")
}

// tagOf is what people call a lot: its tag, or its id where it has none.
func tagOf(snap Snap, lot string) string {
	record, found, err := newest(snap).Record("lot:" + lot)
	var tag string
	if err != nil || !found || record.Register == nil || json.Unmarshal(record.Register.Fields["tag"].Value, &tag) != nil || tag == "" {
		return lot
	}
	return tag
}

func lotsInWords(lots []string) string {
	const shown = 5
	if len(lots) == 0 {
		return "what was made of them (the notes themselves are equal)"
	}
	names := make([]string, 0, shown+1)
	for _, lot := range lots[:min(shown, len(lots))] {
		if lot == "" {
			lot = "what belongs to no lot"
		}
		names = append(names, lot)
	}
	if more := len(lots) - shown; more > 0 {
		names = append(names, fmt.Sprintf("%d more lots", more))
	}
	return strings.Join(names, ", ")
}
