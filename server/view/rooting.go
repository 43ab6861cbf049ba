package view

import (
	"cmp"
	"slices"
	"strconv"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/supply"
)

// rooting is what was counted of a lot's cuttings; nil where nobody looked.
func (n *nursery) rooting(id string) *schema.LotRooting {
	byLot := map[string][]schema.Rooting{}
	for _, count := range n.rootings {
		byLot[count.Lot] = append(byLot[count.Lot], count)
	}
	own := byLot[id]
	if len(own) == 0 {
		return nil
	}
	slices.SortFunc(own, func(a, b schema.Rooting) int {
		return cmp.Or(cmp.Compare(b.On, a.On), cmp.Compare(a.Words, b.Words), cmp.Compare(a.Struck, b.Struck), cmp.Compare(a.Rooted, b.Rooted))
	})
	all := &schema.LotRooting{Trays: []schema.RootedTray{}, On: own[0].On, Year: n.stuckIn(id, own)}
	for _, count := range own {
		all.Trays = append(all.Trays, schema.RootedTray{On: count.On, Share: bed.ShareOf(count.Rooted, count.Struck, 0), Words: count.Words})
	}
	rooted, looked := newestDay(own)
	stuck := 0
	if valueOr(n.lots[id].PottedOn, "") == "" {
		stuck = n.potsOf(id)
	}
	all.Share = bed.ShareOf(rooted, looked, stuck)
	if counts, known := supply.Rooted(rooted, looked, stuck); known {
		all.Stuck, all.Expected, all.Low, all.High = stuck, counts.Mean(), counts.Quantile(supply.Risk), counts.Quantile(1-supply.Risk)
	}
	cultivar := cultivarOf(n.lots[id].Crop, n.lots[id].Cultivar)
	var season, ever pooled
	for lot, counts := range byLot {
		if other, isHere := n.lots[lot]; !isHere || cultivarOf(other.Crop, other.Cultivar) != cultivar {
			continue
		}
		ever.add(counts)
		if n.stuckIn(lot, counts) == all.Year {
			season.add(counts)
		}
	}
	all.Season, all.Cultivar = season.view(), ever.view()
	return all
}

// stuckIn is the year in which a lot was stuck, or first counted where nobody wrote when.
func (n *nursery) stuckIn(lot string, counts []schema.Rooting) (year int) {
	on := valueOr(n.lots[lot].StruckOn, "")
	if on == "" {
		on = slices.MinFunc(counts, func(a, b schema.Rooting) int { return cmp.Compare(a.On, b.On) }).On
	}
	if len(on) >= 4 {
		year, _ = strconv.Atoi(on[:4])
	}
	return year
}

// newestDay adds up the counts of the newest day: earlier ones are of the same trays, when fewer had rooted.
func newestDay(counts []schema.Rooting) (rooted, looked int) {
	newest := slices.MaxFunc(counts, func(a, b schema.Rooting) int { return cmp.Compare(a.On, b.On) }).On
	for _, count := range counts {
		if count.On == newest {
			rooted, looked = rooted+count.Rooted, looked+count.Struck
		}
	}
	return rooted, looked
}

type pooled struct{ lots, rooted, looked int }

func (p *pooled) add(counts []schema.Rooting) {
	rooted, looked := newestDay(counts)
	p.lots, p.rooted, p.looked = p.lots+1, p.rooted+rooted, p.looked+looked
}

func (p pooled) view() schema.RootedOfAll {
	return schema.RootedOfAll{Lots: p.lots, Share: bed.ShareOf(p.rooted, p.looked, 0)}
}
