package view

import (
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// bedTroubles are those of one bed: one for each flag that its findings name, one for uniformity that dropped or an uneven stand, and one for each
// fault of the walk. So every finding that needs a step has a row, and none has two.
func (m *moment) bedTroubles(id string, state *bedState) (all []trouble, err error) {
	findings := state.latest.Findings
	for _, code := range []string{bed.CodeDisease, bed.CodeRot, bed.CodeChlorosis} {
		main := findingIn(findings, func(f schema.Finding) bool { return f.Code == code })
		where := findingIn(findings, func(f schema.Finding) bool {
			return f.Attention && (f.Code == "patch_"+code || isFlagPattern(f.Code) && f.Trait == code)
		})
		if main == nil || !main.Attention && where == nil {
			continue
		}
		t := m.bedTrouble(id, code, *main, state)
		t.Where = where
		t.Extent, t.Least = basisPoints(main.Numbers["value"]), basisPoints(main.Numbers["low"])
		t.stake = main.Numbers["low"] * float64(state.latest.PotsOnBed)
		t.serious = t.Least > m.fineBP(id)
		t.BeforeX, t.BeforeN = before(state, t.Walk, code)
		all = append(all, t)
	}
	if t, ok := m.uneven(id, state); ok {
		all = append(all, t)
	}
	for _, f := range findings {
		if !f.Attention || f.Code != bed.CodeUnwalked && f.Code != bed.CodeEdgeBias {
			continue
		}
		t := m.bedTrouble(id, f.Code, f, state)
		t.Extent = basisPoints(max(f.Numbers["share"], f.Numbers["seen"]))
		t.Least = t.Extent
		all = append(all, t)
	}
	return all, m.addPots(id, state, all)
}

func (m *moment) bedTrouble(id, code string, f schema.Finding, state *bedState) trouble {
	at := foundAt(f, state)
	item := schema.AttentionItem{
		ID: schema.MatterID(code, id), Code: code, Beds: []schema.AttentionBed{m.n.attentionBed(id)}, Finding: &f, FoundAt: at, Since: at, CanSettle: true,
	}
	for _, w := range state.walks {
		if w.At == at && w.Whole {
			item.Walk = w.ID
		}
	}
	for _, s := range m.n.spanViews(id) {
		if s.Lot == f.Lot {
			item.Lot, item.Tag, item.Cultivar = s.Lot, s.Tag, s.Cultivar
		}
	}
	return trouble{AttentionItem: item}
}

func findingIn(all []schema.Finding, is func(schema.Finding) bool) *schema.Finding {
	if i := slices.IndexFunc(all, is); i >= 0 {
		return &all[i]
	}
	return nil
}

func isFlagPattern(code string) bool {
	return code == bed.CodeFlagGradient || code == bed.CodeFlagAcross || code == bed.CodeFlagEdge
}

func basisPoints(share float64) int { return int(math.Round(share * 10_000)) }

// fineBP is the least share of pots with trouble that the profiles of a bed's lots take for fine, in basis points.
func (m *moment) fineBP(id string) int {
	fine := 10_000
	for _, s := range m.n.spanViews(id) {
		fine = min(fine, m.n.judgedOf(s.Lot).TroubleOkBP)
	}
	return fine
}

// before is how many pots showed a flag on the whole walk before another.
func before(state *bedState, walkID, code string) (x, n int) {
	earlier := wholeBefore(state, walkID)
	switch {
	case earlier == nil:
		return 0, 0
	case code == bed.CodeRot:
		return earlier.Score.Rot.X, earlier.Score.Rot.N
	case code == bed.CodeChlorosis:
		return earlier.Score.Chlorosis.X, earlier.Score.Chlorosis.N
	}
	// Of disease a walk keeps how many were looked at, not how many showed it.
	return 0, 0
}

func wholeBefore(state *bedState, walkID string) (earlier *walk) {
	for _, w := range state.walks {
		if w.ID == walkID {
			return earlier
		}
		if w.Whole {
			earlier = w
		}
	}
	return nil
}

// uneven is uniformity that dropped since the walk before, by more than both 90 % intervals together allow (they do not meet); or else uniformity
// that is surely below what the crop aims for on a bed that ships soon; or else the first of the findings about an uneven stand that need a step.
func (m *moment) uneven(id string, state *bedState) (t trouble, ok bool) {
	pattern := findingIn(state.latest.Findings, func(f schema.Finding) bool {
		return f.Attention && slices.Contains([]string{bed.CodeGradient, bed.CodeAcross, bed.CodeEdge, bed.CodeTwoGroups}, f.Code)
	})
	earlier := wholeBefore(state, state.shown.ID)
	trait := state.latest.LimitingTrait
	if earlier != nil && state.shown.Whole {
		now, then := traitOf(state.shown, trait), traitOf(earlier, trait)
		if apart(now, then) && now.Value < then.Value {
			t = m.bedTrouble(id, schema.AttentionDropped, schema.Finding{}, state)
			t.Finding, t.Where, t.Now, t.Before, t.Trait = nil, pattern, &now, &then, trait
			t.OtherScout = earlier.Person != state.shown.Person
			t.Extent, t.Least = basisPoints(1-now.Value), basisPoints(1-now.Interval.High)
			t.stake = (then.Interval.Low - now.Interval.High) * float64(state.latest.PotsOnBed)
			return t, true
		}
	}
	if t, ok := m.shipsUneven(id, state, pattern); ok {
		return t, true
	}
	if pattern == nil {
		return t, false
	}
	t = m.bedTrouble(id, pattern.Code, *pattern, state)
	t.Trait = pattern.Trait
	if u := traitOf(state.shown, pattern.Trait); u.Known {
		t.Extent, t.Least = basisPoints(1-u.Value), basisPoints(1-u.Interval.High)
		t.stake = (1 - u.Interval.High) * float64(state.latest.PotsOnBed)
	}
	return t, true
}

// startAimBP is the uniformity aimed for where a crop has none of its own, as on phones: common practice, no source.
const startAimBP = 7500

// shipsUneven is a bed of which even the high end of the interval is below the uniformity aimed for, while the first of its lots to ship can be
// graded already: so many weeks before its ship week a pot no longer outgrows the others.
func (m *moment) shipsUneven(id string, state *bedState, pattern *schema.Finding) (t trouble, ok bool) {
	trait := state.latest.LimitingTrait
	now := traitOf(state.shown, trait)
	aim, own, next := 0, true, schema.SpanView{}
	week := func(lot string) string { return valueOr(m.n.lots[lot].ShipWeek, "") }
	for _, s := range m.n.spanViews(id) {
		set, isOwn := m.n.aims[bed.CropKey(s.Crop)]
		if !isOwn {
			set = startAimBP
		}
		aim, own = max(aim, set), own && isOwn
		from := bed.GradedFrom(week(s.Lot), m.n.judgedOf(s.Lot).GradedFromWeeks)
		if from != "" && from <= m.dayIn(m.n).String() && (next.Lot == "" || week(s.Lot) < week(next.Lot)) {
			next = s
		}
	}
	if next.Lot == "" || !state.shown.Whole || !now.Known || !now.Interval.Known || basisPoints(now.Interval.High) >= aim {
		return t, false
	}
	t = m.bedTrouble(id, schema.AttentionUneven, schema.Finding{Lot: next.Lot}, state)
	t.Finding, t.Where, t.Now, t.Trait, t.Week, t.AimBP, t.OwnAim = nil, pattern, &now, trait, week(next.Lot), aim, own
	t.Extent, t.Least = basisPoints(1-now.Value), basisPoints(1-now.Interval.High)
	t.stake = (float64(aim)/10_000 - now.Interval.High) * float64(state.latest.PotsOnBed)
	return t, true
}

// traitOf is a trait's uniformity on a walk, unknown where too few pots were measured.
func traitOf(w *walk, trait string) schema.Estimate {
	for _, one := range w.Score.Traits {
		if one.Trait == trait && one.N >= bed.Fewest {
			return one.Uniformity
		}
	}
	return schema.Estimate{}
}

// addPots sets where the pots of each trouble's walk stood, and which of them show it. Troubles of one walk share its pots.
func (m *moment) addPots(id string, state *bedState, all []trouble) error {
	rows := valueOr(m.n.beds[id].Rows, 0)
	if rows == 0 {
		return nil
	}
	for _, w := range state.walks {
		if !slices.ContainsFunc(all, func(t trouble) bool { return t.Walk == w.ID }) {
			continue
		}
		records, err := m.potsOf(id, w.ID, w.Pots)
		if err != nil {
			return err
		}
		pots := seen(records)
		for i := range all {
			if all[i].Walk == w.ID {
				all[i].place(pots, state.latest, rows)
			}
		}
	}
	return nil
}

// place sets where the pots of the trouble's walk stood on a bed of so many rows.
func (t *trouble) place(pots []schema.PotSeen, score *schema.BedScore, rows int) {
	for _, p := range pots {
		if p.Now.Place == nil {
			continue
		}
		hit, looked := shows(t, p.Now, score)
		along := (2*p.Now.Place.Row - 1) * 1000 / (2 * rows)
		switch {
		case hit:
			t.Hit = append(t.Hit, along)
		case looked:
			t.Clear = append(t.Clear, along)
		}
	}
	slices.Sort(t.Hit)
	slices.Sort(t.Clear)
}

// shows says whether a pot shows a trouble, and whether that was looked at. Of a stretch left out no pot does: it is where none stands.
func shows(t *trouble, o schema.Observation, score *schema.BedScore) (hit, looked bool) {
	if t.Trait == "" {
		if t.Code == bed.CodeUnwalked || t.Code == bed.CodeEdgeBias {
			return false, true
		}
		return bed.Shows(t.Code, o)
	}
	value, measured := bed.HeadMM(o)
	if t.Trait == bed.Buds {
		measured = o.Buds != nil
		value = float64(valueOr(o.Buds, 0))
	}
	for _, l := range score.Lots {
		for _, trait := range l.Traits {
			if measured && l.Lot == o.Lot && trait.Trait == t.Trait && trait.Mean.Known {
				return math.Abs(value-trait.Mean.Value) > trait.Tolerance*trait.Mean.Value, true
			}
		}
	}
	return false, false
}
