package testphone

import (
	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Digest is what a phone reports of the notes that it pulled, computed from these alone: the sums of their hashes lot by
// lot, and the hash of the records that they fold to. An error is of an entry that cannot be read.
func Digest(device, epoch string, items []schema.Pulled) (d schema.Digest, err error) {
	d = schema.Digest{Device: device, Epoch: epoch, Fold: schema.FoldVersion, SentWall: 1_000_000_002_000}
	sums, counts := map[string]journal.Sum{}, map[string]int{}
	byKey := map[string][]schema.Stamped{}
	for _, item := range items {
		entry, err := journal.Parse(item.Entry)
		if err != nil {
			return d, err
		}
		sums[entry.Lot] = sums[entry.Lot].Add(journal.Hash(item.Entry, item.Stamp))
		counts[entry.Lot]++
		for _, key := range fold.Keys(entry) {
			byKey[key] = append(byKey[key], schema.Stamped{Entry: entry, Stamp: item.Stamp, Position: item.Position})
		}
		d.Position = item.Position
	}
	for lot, sum := range sums {
		d.Lots = append(d.Lots, schema.LotDigest{Lot: lot, Count: counts[lot], Sum: sum.String()})
	}
	var all journal.Sum
	for key, entries := range byKey {
		if record, ok := fold.Fold(key, entries); ok {
			// A record that cannot be written has no hash on any device.
			if hash, err := fold.Hash(record); err == nil {
				all = all.Add(hash)
			}
		}
	}
	d.Records = fold.Total(all)
	return d, nil
}
