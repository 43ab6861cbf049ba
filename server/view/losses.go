package view

import (
	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/crop"
	"bedwalk/sync/loss"
	"bedwalk/sync/stats"
)

// left is the share of a lot's pots that is left on a day: by its own losses so far, or while these say too little by what is written of the stages to
// come, where all of them have a share, else by what its profile expects. So far is until today began, so that a week's numbers are the same all
// day and weekView remembers them.
func (n *nursery) left(lot, by string, today calendar.Day, stages []string) (share loss.Share, basis string) {
	if day, err := calendar.Parse(by); err == nil && n.stock[lot] != nil {
		lost, potWeeks := losses(n.stock[lot].Lines, n.midnight(today))
		if share, own := loss.OfRate(lost, potWeeks, float64(day-today)/7); own {
			return share, loss.OfLot
		}
	}
	if share, isWritten := n.through(lot, stages); isWritten {
		return share, loss.OfStages
	}
	return loss.Written(1 - float64(n.judgedOf(lot).ExpectedLossBP)/10_000), loss.OfCrop
}

// through is the share of a lot's pots that comes through all of these stages; false where there are none, or of one nobody wrote how many do. Of the
// stage that the lot is in, all of its losses count as still to come.
func (n *nursery) through(lot string, stages []string) (share loss.Share, isWritten bool) {
	l := n.lots[lot].Lot
	key := cultivarOf(l.Crop, l.Cultivar)
	written := crop.SharesOf(n.yields[key.crop], n.sizedFor(l), n.cultivars[key].RootShareBP)
	share = loss.Share{Mean: 1}
	for _, stage := range stages {
		bp, ok := written[stage]
		if !ok {
			return share, false
		}
		share = share.Times(loss.Written(float64(bp) / 10_000))
	}
	return share, len(stages) > 0
}

// stagesToCome are the stages of a plan that are not over, the one that the lot is in first.
func stagesToCome(steps []schema.PlanStep) (stages []string) {
	for _, step := range steps {
		if !step.Done && step.Stage != "" {
			stages = append(stages, step.Stage)
		}
	}
	return stages
}

// shareKept is the share of a lot's pots that is left at shipping, as its ship week counts it.
func (m *moment) shareKept(id string) (*schema.KeptShare, error) {
	seen, err := m.seen(id)
	if err != nil {
		return nil, err
	}
	plan := m.planOf(m.n.lotNotes(), id, seen)
	share, basis := m.n.left(id, plan.By, m.dayIn(m.n), stagesToCome(plan.Steps))
	return &schema.KeptShare{Mean: share.Mean, Differ: share.Differ, Basis: basis}, nil
}

// addKept says of each lot on a bed that may be sold what share of its pots is left at shipping.
func (m *moment) addKept(in *schema.BedInput) (err error) {
	for i := range in.Lots {
		on := &in.Lots[i]
		if _, isHere := m.n.lots[on.Lot]; !isHere || on.Shipped || m.n.isStock(on.Lot) {
			continue
		}
		if on.Kept, err = m.shareKept(on.Lot); err != nil {
			return err
		}
	}
	return nil
}

// limitsOf hold the share of one lot; nil where it counts as sure.
func limitsOf(share loss.Share, season float64) *schema.Interval {
	if share.Differ == 0 {
		return nil
	}
	low, high := share.InAnySeason(season).Limits(stats.DefaultLevel)
	return &schema.Interval{Low: low, High: high, Known: true}
}

const weekMS = 7 * 24 * 60 * 60 * 1000

// losses are the pots of a ledger that died or were culled, and over how many pot-weeks until a time.
func losses(lines []schema.StockLine, untilMS int64) (lost int, potWeeks float64) {
	bySpan := map[string]int{}
	pots, since := 0, int64(0)
	for _, line := range lines {
		if line.Voided != nil || line.Settled {
			continue
		}
		at := line.By.Stamp.At
		potWeeks += float64(pots) * float64(max(0, at-since)) / weekMS
		since = max(since, at)
		change := line.Change
		if line.Counted != nil {
			change = *line.Counted - bySpan[line.Span]
		}
		bySpan[line.Span] += change
		pots = max(0, pots+change)
		switch line.Reason {
		case "lost_root", "lost_disease", "lost_pest", "lost_dry", "lost_cold", "culled":
			lost += max(0, -line.Change)
		}
	}
	return lost, potWeeks + float64(pots)*float64(max(0, untilMS-since))/weekMS
}
