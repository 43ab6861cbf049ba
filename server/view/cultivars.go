package view

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/crop"
	"bedwalk/sync/schedule"
)

// cultivarKey tells cultivars apart, by the keys of both names.
type cultivarKey struct{ crop, cultivar string }

func cultivarOf(crop, cultivar *string) cultivarKey {
	return cultivarKey{bed.CropKey(valueOr(crop, "")), bed.CropKey(valueOr(cultivar, ""))}
}

func (k cultivarKey) before(other cultivarKey) int {
	return cmp.Or(cmp.Compare(k.crop, other.crop), cmp.Compare(k.cultivar, other.cultivar))
}

// takeCultivar: of two records of one cultivar the one with the higher id counts, as with profiles.
func (n *nursery) takeCultivar(r schema.Record) {
	c := shown[schema.Cultivar](r)
	// Without a name it is nobody's, and never that of lots whose cultivar is not known.
	if key := cultivarOf(c.OfCrop, c.Name); key.cultivar != "" {
		n.cultivars[key] = c
	}
}

// ownStages are the stages that the grower set for a lot.
func (n *nursery) ownStages(l schema.Lot) crop.Own {
	key := cultivarOf(l.Crop, l.Cultivar)
	c := n.cultivars[key]
	return crop.Own{Cultivar: c.ByName(), Size: n.sizedFor(l), Crop: n.stages[key.crop]}
}

// sizedFor are where stages differ for the pots that a lot stands in.
func (n *nursery) sizedFor(l schema.Lot) map[string]schema.SizedStage {
	return crop.Sized(n.sizes[bed.CropKey(valueOr(l.Crop, ""))], valueOr(l.PotMM, 0))
}

// How many of a cultivar's last lots are weighed, and of how few nothing is made. Assumptions of this project.
const (
	tookMost  = 5
	tookLeast = 3
)

// longestStage is the longest that a stage may be written down with, in days: a lot that took longer was forgotten, or its note was.
const longestStage = 730

// Cultivars is what the lots of each cultivar took for their stages, beside the crop's length: what a grower may take over.
func (v *Views) Cultivars(ctx context.Context) (view schema.CultivarsView, err error) {
	view = schema.CultivarsView{Cultivars: []schema.CultivarTook{}, MadeAt: v.journal.NowMS()}
	var n *nursery
	if err := v.at(ctx, func(m *moment) error { n = m.n; return nil }); err != nil {
		return view, err
	}
	lots := map[cultivarKey][]string{}
	for id, l := range n.lots {
		if key := cultivarOf(l.Crop, l.Cultivar); key.crop != "" && key.cultivar != "" {
			lots[key] = append(lots[key], id)
		}
	}
	notes := n.lotNotes()
	for _, key := range slices.SortedFunc(maps.Keys(lots), cultivarKey.before) {
		if err := ctx.Err(); err != nil {
			return view, err
		}
		slices.SortFunc(lots[key], n.byTag())
		if stages := notes.tookOf(key, lots[key]); len(stages) > 0 {
			first := n.lots[lots[key][0]]
			view.Cultivars = append(view.Cultivars, schema.CultivarTook{
				Crop: valueOr(first.Crop, ""), Cultivar: valueOr(first.Cultivar, ""), Stages: stages,
			})
		}
	}
	return view, nil
}

// took are the stages of a lot that are over, but for those that took longer than any profile may say.
func (all lotNotes) took(id string) []crop.Took {
	l := all.n.lots[id]
	stages := crop.StagesOf(bed.CropKey(valueOr(l.Crop, "")), valueOr(l.Route, ""), all.n.ownStages(l.Lot))
	took := crop.Lot{Family: all.familyOf(id), Stages: stages}.Took()
	return slices.DeleteFunc(took, func(one crop.Took) bool { return one.Days > longestStage })
}

// tookOf weighs what lots of a cultivar took against the crop's lengths. Not against the cultivar's own: these may come from the same lots,
// which must not count twice.
func (all lotNotes) tookOf(key cultivarKey, lots []string) (stages []schema.StageTook) {
	ended := map[string][]schema.LotTook{}
	for _, id := range lots {
		l := all.n.lots[id]
		for _, took := range all.took(id) {
			ended[took.Stage] = append(ended[took.Stage], schema.LotTook{Lot: id, Tag: valueOr(l.Tag, ""), Days: took.Days, Ended: took.Ended.String()})
		}
	}
	for _, s := range crop.StagesOf(key.crop, "", crop.Own{Crop: all.n.stages[key.crop]}) {
		last := ended[s.Name]
		if len(last) < tookLeast {
			continue
		}
		slices.SortStableFunc(last, func(a, b schema.LotTook) int { return cmp.Compare(a.Ended, b.Ended) })
		last = last[max(0, len(last)-tookMost):]
		days := make([]int, len(last))
		for i, l := range last {
			days[i] = l.Days
		}
		use := crop.LengthOf(s.Stage).Learn(days).Length()
		stages = append(stages, schema.StageTook{
			Stage: s.Name, Lots: last, Before: []int{s.ShortestDays, s.LikelyDays, s.LongestDays}, From: s.From, Standing: s.Standing,
			WorthLots: schedule.WorthLots, Use: []int{use.Shortest, use.Likely, min(longestStage, use.Longest)},
		})
	}
	return stages
}
