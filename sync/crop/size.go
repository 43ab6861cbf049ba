package crop

import (
	"cmp"

	"bedwalk/schema"
	"bedwalk/sync/schedule"
)

// Sized are the lines for pots of one size, by stage. A lot of unknown pot size (0) has none.
func Sized(lines []schema.SizedStage, potMM int) map[string]schema.SizedStage {
	sized := map[string]schema.SizedStage{}
	for _, line := range lines {
		if line.PotMM == potMM {
			sized[line.Stage] = line
		}
	}
	return sized
}

// sizedBy puts what holds for the pot size in the place of the crop's. It adds no stage: a crop that does not go through one does so in no pot.
func (s *Stage) sizedBy(line schema.SizedStage) {
	if line.ShortestDays != nil && line.LikelyDays != nil && line.LongestDays != nil {
		length := schedule.Length{Shortest: *line.ShortestDays, Likely: *line.LikelyDays, Longest: *line.LongestDays}
		// As with stages, a damaged record must not stop the plan.
		if length.Check() == nil {
			s.ShortestDays, s.LikelyDays, s.LongestDays = length.Shortest, length.Likely, length.Longest
			s.From, s.Standing, s.Source = schema.FromSize, schema.StandingOwn, ""
		}
	}
	if line.Gates != nil {
		s.Gates = line.Gates
	}
}

// CostsOf are what a pot takes in each stage, by stage: value by value what holds for its size before the crop's.
func CostsOf(ofCrop []schema.StageCost, sized map[string]schema.SizedStage) map[string]schema.StageCost {
	costs := map[string]schema.StageCost{}
	for _, c := range ofCrop {
		costs[c.Stage] = c
	}
	for stage, line := range sized {
		c := costs[stage]
		costs[stage] = schema.StageCost{
			Stage: stage, LabourS: cmp.Or(line.LabourS, c.LabourS), MaterialC: cmp.Or(line.MaterialC, c.MaterialC), PotsM2C: cmp.Or(line.PotsM2C, c.PotsM2C),
		}
	}
	return costs
}

// SharesOf are the shares that come through each stage as they are written, in basis points, by stage: of the cuttings of a cultivar the cultivar's own,
// else what holds for the pot size before the crop's. A stage of which nobody wrote one has none.
func SharesOf(ofCrop []schema.StageYield, sized map[string]schema.SizedStage, ofCultivar *int) map[string]int {
	shares := map[string]int{}
	for _, y := range ofCrop {
		if y.ShareBP != nil {
			shares[y.Stage] = *y.ShareBP
		}
	}
	for stage, line := range sized {
		if line.ShareBP != nil {
			shares[stage] = *line.ShareBP
		}
	}
	if ofCultivar != nil {
		shares[schema.StageRoot] = *ofCultivar
	}
	return shares
}
