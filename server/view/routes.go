package view

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/crop"
	"bedwalk/sync/loss"
	"bedwalk/sync/stats"
	"bedwalk/sync/supply"
)

// Routes is what every lot that has not shipped would bring on either route.
func (v *Views) Routes(ctx context.Context) (view schema.RoutesView, err error) {
	all, err := v.gathered(ctx)
	if err != nil {
		return view, err
	}
	money := all.n.money
	view = schema.RoutesView{
		Today: v.dayIn(all.n).String(), Currency: valueOr(money.Currency, ""), WageCHour: money.WageCHour, SpaceCM2Week: money.SpaceCM2Week,
		Lots: []schema.RouteLot{}, MadeAt: v.journal.NowMS(),
	}
	earlier := all.earlierByKind()
	for _, id := range slices.SortedFunc(maps.Keys(all.n.lots), all.n.byTag()) {
		if err := ctx.Err(); err != nil {
			return view, err
		}
		if !all.n.isForSale(id) {
			continue
		}
		view.Lots = append(view.Lots, v.routeLot(all, id, earlier(all.n.weekOf(id))))
	}
	return view, nil
}

const florist, nurseryRoute = "florist", "nursery"

func (v *Views) routeLot(all gathered, id string, earlier earlierLots) schema.RouteLot {
	n, l := all.n, all.n.lots[id]
	lot := schema.RouteLot{
		Lot: id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), PotMM: valueOr(l.PotMM, 0), Pots: n.potsOf(id),
		ShipWeek: valueOr(l.ShipWeek, ""), Route: valueOr(l.Route, ""), Grades: []schema.RouteGrade{},
		Florist: schema.RouteSums{Missing: []schema.MissingCost{}}, Nursery: schema.RouteSums{Missing: []schema.MissingCost{}},
	}
	rules := n.judgedOf(id).GradesFor(lot.PotMM)
	switch len(rules) {
	case 0:
		lot.Problem = "no_grades"
	case 1:
		lot.Problem = "one_grade"
	default:
		best := all.sharesOf(id, earlier, &lot, rules)
		f, ofFlorist := v.onRoute(all, id, florist)
		other, ofNursery := v.onRoute(all, id, nurseryRoute)
		if lot.Problem == "" {
			lot.Problem = cmp.Or(ofFlorist, ofNursery)
		}
		if lot.Problem == "" {
			// Whoever is in a stage of one route alone has left the other one's stages behind.
			if only := stageNow(f).Route; only != nil && *only == florist {
				other.Steps = nil
			}
			if only := stageNow(other).Route; only != nil && *only == nurseryRoute {
				f.Steps = nil
			}
			compare(&lot, supply.Choice{
				Florist: v.termsOf(all, id, f, lot.Crop, &lot.Florist), Nursery: v.termsOf(all, id, other, lot.Crop, &lot.Nursery),
			}, best)
		}
	}
	return lot
}

// sharesOf says how a lot's pots divide over its grades, and what is known of the share of the best one: by its walks, else by earlier lots.
func (all gathered) sharesOf(id string, earlier earlierLots, lot *schema.RouteLot, rules []schema.Grade) (best supply.Beta) {
	var known schema.SupplyLot
	known.Pots = lot.Pots
	basis, parts := all.partsOf(id, earlier, &known)
	if basis != "walk" && basis != "earlier" {
		lot.Problem = basis
		return best
	}
	lot.Basis, lot.Seen, lot.Whole, lot.On, lot.Earlier = basis, known.Seen, known.Whole, known.On, known.Earlier
	before, countedBefore := 0.0, 0
	for k, rule := range rules {
		grade := schema.RouteGrade{Grade: rule.Name, PriceC: rule.PriceC}
		upTo, counted := 0.0, 0
		if basis == "earlier" {
			upTo = earlier.prior[k].Mean()
		} else {
			for _, part := range parts {
				if part.Seen > 0 {
					counted += part.In[k]
				}
			}
			// Of those that could be graded: a pot with a value missing says nothing of the share.
			upTo = float64(counted) / float64(known.Whole)
			grade.Seen = new(bed.ShareOf(counted-countedBefore, known.Whole, lot.Pots))
		}
		// Earlier lots' levels are fitted one by one, so that a lesser one may come out below a better one.
		grade.Share = max(0, upTo-before)
		before, countedBefore = max(before, upTo), counted
		lot.Grades = append(lot.Grades, grade)
	}
	if basis == "earlier" {
		return earlier.prior[0]
	}
	return supply.SeenShare(lot.Grades[0].Seen.X, known.Whole)
}

// onRoute is a lot's forecast on a route, and why there is none.
func (v *Views) onRoute(all gathered, id, route string) (f crop.Forecast, problem string) {
	in := v.cropLotOn(all.notes, id, all.seen[id], route)
	f = v.forecast(all.notes.isTry, id+" "+route, all.n.workKey, in)
	problem = f.Problem
	if problem == "" && slices.ContainsFunc(f.Steps, func(s crop.Step) bool { return s.Coming != nil && s.Coming.Day50 == nil }) {
		problem = "too_far"
	}
	return f, problem
}

// stageNow is the stage that a lot is in.
func stageNow(f crop.Forecast) (now crop.Stage) {
	for _, step := range f.Steps {
		if step.Coming != nil {
			return step.Stage
		}
	}
	return now
}

// termsOf are what a lot's way to ready costs from today on, and how long its bench is taken up. The work and the materials of the stage that
// it is in count as spent.
func (v *Views) termsOf(all gathered, id string, f crop.Forecast, cropName string, sums *schema.RouteSums) (terms supply.Terms) {
	n, today := all.n, v.dayIn(all.n)
	costs := crop.CostsOf(n.costs[bed.CropKey(cropName)], n.sizedFor(n.lots[id].Lot))
	from, begun, bench := today, true, 0.0
	var stages []string
	for _, step := range f.Steps {
		if step.Coming == nil {
			continue
		}
		stages = append(stages, step.Stage.Name)
		until := max(from, *step.Coming.Day50)
		bench += n.addStage(sums, costs[step.Stage.Name], step.Stage.Name, float64(until-from)/7, begun)
		from, begun = until, false
	}
	sums.Ready, sums.Weeks = from.String(), float64(from-today)/7
	left, basis := n.left(id, sums.Ready, today, stages)
	sums.Loss, sums.OwnLoss, sums.LossBasis = 1-left.Mean, basis == loss.OfLot, basis
	if limits := limitsOf(left, seasonOf(n.judgedOf(id))); limits != nil {
		sums.LossLimits = &schema.Interval{Low: 1 - limits.High, High: 1 - limits.Low, Known: true}
	}
	terms.Loss, terms.Differ, terms.Cost = sums.Loss, left.InAnySeason(seasonOf(n.judgedOf(id))).Differ, sums.LabourC+sums.MaterialC+sums.SpaceC
	if !slices.ContainsFunc(sums.Missing, func(m schema.MissingCost) bool { return m.What == "pots_m2" }) {
		terms.BenchWeeks = &bench
	}
	return terms
}

// addStage adds what a pot takes in one stage; begun is true of the stage that the lot is in. bench is what it takes up, in square metres
// times weeks, as far as that is known.
func (n *nursery) addStage(sums *schema.RouteSums, cost schema.StageCost, stage string, weeks float64, begun bool) (bench float64) {
	missing := func(stage, what string) {
		if one := (schema.MissingCost{Stage: stage, What: what}); !slices.Contains(sums.Missing, one) {
			sums.Missing = append(sums.Missing, one)
		}
	}
	if !begun {
		switch {
		case cost.LabourS == nil:
			missing(stage, "labour")
		case *cost.LabourS > 0 && n.money.WageCHour == nil:
			missing("", "wage")
		case *cost.LabourS > 0:
			sums.LabourC += float64(*cost.LabourS) * float64(*n.money.WageCHour) / 3600
		}
		if cost.MaterialC == nil {
			missing(stage, "material")
		} else {
			sums.MaterialC += float64(*cost.MaterialC)
		}
	}
	if weeks == 0 {
		return 0
	}
	if n.money.SpaceCM2Week == nil {
		missing("", "space")
	}
	if cost.PotsM2C == nil {
		missing(stage, "pots_m2")
		return 0
	}
	bench = weeks * 100 / float64(*cost.PotsM2C)
	sums.SpaceC += bench * float64(valueOr(n.money.SpaceCM2Week, 0))
	return bench
}

// compare fills in what the two routes bring.
func compare(lot *schema.RouteLot, c supply.Choice, best supply.Beta) {
	var missing []int
	for k, g := range lot.Grades {
		c.Shares = append(c.Shares, g.Share)
		var price *float64
		if g.PriceC != nil {
			price = new(float64(*g.PriceC))
		} else {
			missing = append(missing, k)
		}
		c.Prices = append(c.Prices, price)
	}
	a, b := c.Routes()
	fill := func(sums *schema.RouteSums, r supply.Route) {
		if margin, ok := r.Margin(); ok {
			sums.MarginC, sums.SalesC = new(margin), new(margin+r.Cost)
		}
		if margin, ok := r.MarginOfBench(); ok {
			sums.BenchC = new(margin)
		}
	}
	fill(&lot.Florist, a)
	fill(&lot.Nursery, b)
	if len(missing) == 1 {
		lot.Grades[missing[0]].NeededC = orNil(supply.BreakEvenPrice(a, b, missing[0]))
	}
	lot.BreakEvenPriceC = orNil(supply.BreakEvenPrice(a, b, 0))
	lot.BreakEvenShare = orNil(c.BreakEvenShare())
	lot.Chance = orNil(c.ChanceOfFlorist(best))
	if f, other, known := c.Limits(best, stats.DefaultLevel); known {
		lot.Florist.MarginLimits = &schema.Interval{Low: f[0], High: f[1], Known: true}
		lot.Nursery.MarginLimits = &schema.Interval{Low: other[0], High: other[1], Known: true}
	}
	lot.WaitC = orNil(supply.Waiting(a, b))
}

func orNil(value float64, known bool) *float64 {
	if !known {
		return nil
	}
	return &value
}
