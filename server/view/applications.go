package view

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
)

// logShown is how many lines of the application log go at once.
const logShown = 1000

// Applications is the log of what was put on.
func (v *Views) Applications(ctx context.Context) (log schema.ApplicationLog, err error) {
	log = schema.ApplicationLog{Lines: []schema.ApplicationLine{}, MadeAt: v.journal.NowMS()}
	return log, v.at(ctx, func(m *moment) error {
		all := m.n.applications
		keys := slices.SortedFunc(maps.Keys(all), func(a, b string) int {
			return cmp.Or(cmp.Compare(all[b].EndedAt, all[a].EndedAt), cmp.Compare(a, b))
		})
		shown := min(len(keys), logShown)
		log.Older = len(keys) - shown
		for _, key := range keys[:shown] {
			r, found, err := m.snap.Record(key)
			if err != nil {
				return err
			}
			if !found || r.Fact == nil {
				continue
			}
			a := all[key]
			log.Lines = append(log.Lines, schema.ApplicationLine{
				Application: a, ID: nameOf(key), PutOn: m.n.putOn(a), PersonName: m.n.people[r.Fact.By.Person],
				Until: a.EndedAt + int64(a.EntryHours)*hourMS,
			})
		}
		return nil
	})
}

// putOn are the lots that an application names, in the order of their tags.
func (n *nursery) putOn(a schema.Application) (lots []schema.LotTag) {
	for _, id := range slices.SortedFunc(slices.Values(lotsNamed(a)), n.byTag()) {
		lots = append(lots, schema.LotTag{Lot: id, Tag: valueOr(n.lots[id].Tag, "")})
	}
	return lots
}

// lotsNamed are the lots that an application names; none where it is about all lots of its beds.
func lotsNamed(a schema.Application) []string {
	if len(a.Lots) == 0 && a.Lot != "" {
		return []string{a.Lot}
	}
	return a.Lots
}
