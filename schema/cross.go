package schema

import "fmt"

// crossFaults checks what no single field shows: whether the fields of one body agree with each other.
func crossFaults(body any, path string) []Fault {
	c := &crossing{path: path}
	switch b := body.(type) {
	case *Observation:
		c.observation(b, "")
	case *Correction:
		c.observation(&b.Now, "now.")
	case *Walk:
		c.distinct("places", len(b.Places), func(i int) any { return b.Places[i] })
	case *Site:
		if b.Workdays != nil {
			c.distinct("workdays", len(*b.Workdays), func(i int) any { return (*b.Workdays)[i] })
		}
	case *House:
		c.notBelow("band_high_dc", b.BandHighDC, "band_low_dc", b.BandLowDC)
	case *Span:
		c.notBelow("to_row", b.ToRow, "from_row", b.FromRow)
	case *Lot:
		c.lot(b)
	case *Profile:
		c.profile(b)
	case *Cultivar:
		c.stages(&b.Stages)
	case *Void:
		c.distinct("records", len(b.Records), func(i int) any { return b.Records[i] })
	case *Unvoid:
		c.distinct("records", len(b.Records), func(i int) any { return b.Records[i] })
	case *Application:
		c.distinct("beds", len(b.Beds), func(i int) any { return b.Beds[i] })
		c.distinct("lots", len(b.Lots), func(i int) any { return b.Lots[i] })
		if b.StartedAt > b.EndedAt {
			c.add(Fault{Field: "ended_at", Code: CodeEndsBefore, Other: "started_at"})
		}
	case *Event:
		c.event(b)
	case *Count:
		c.count(b)
	case *Move:
		c.move(b)
	case *Reading:
		if b.PHC == nil && b.ECUSCM == nil && b.LightUmol == nil && b.LightFC == nil && b.TempDC == nil && b.MediumDC == nil && b.HumidBP == nil {
			c.add(Fault{Field: "ph_c", Code: CodeEmpty})
		}
	case *Task:
		c.ordered("due_on", b.DueOn, "from_on", b.FromOn)
	case *Trace:
		c.trace(b)
	case *Rooting:
		if b.Rooted > b.Struck {
			c.add(Fault{Field: "rooted", Code: CodeAboveOther, Value: b.Rooted, Max: bound(b.Struck), Other: "struck"})
		}
	}
	return c.faults
}

type crossing struct {
	path   string
	faults []Fault
}

// add takes a fault whose fields are named from the body on.
func (c *crossing) add(f Fault) {
	f.Field = join(c.path, f.Field)
	if f.Other != "" {
		f.Other = join(c.path, f.Other)
	}
	c.faults = append(c.faults, f)
}

func (c *crossing) notBelow(field string, value *int, other string, floor *int) {
	if value != nil && floor != nil && *value < *floor {
		c.add(Fault{Field: field, Code: CodeBelowOther, Value: *value, Min: bound(*floor), Unit: unitOf(field), Other: other})
	}
}

func (c *crossing) distinct(field string, n int, item func(int) any) {
	seen := make(map[any]int, n)
	at := func(i int) string { return fmt.Sprintf("%s[%d]", field, i) }
	for i := range n {
		if first, twice := seen[item(i)]; twice {
			c.add(Fault{Field: at(i), Code: CodeTwice, Other: at(first)})
		}
		seen[item(i)] = i
	}
}

func (c *crossing) observation(o *Observation, under string) {
	parts := 0
	for _, part := range []*int{o.BudsTight, o.BudsColour, o.BudsCandle, o.BudsOpen} {
		if part != nil {
			parts += *part
		}
	}
	if o.Buds != nil && parts > *o.Buds {
		c.add(Fault{Field: under + "buds", Code: CodeStatesOverBuds, Value: *o.Buds, Min: bound(parts)})
	}
	if o.Severity == nil {
		return
	}
	switch {
	case o.Chlorosis == nil:
		c.add(Fault{Field: under + "severity", Code: CodeSeverityAlone, Value: *o.Severity, Other: under + "chlorosis"})
	case *o.Chlorosis == "none" && *o.Severity > 0:
		c.add(Fault{Field: under + "severity", Code: CodeSeverityOfNone, Value: *o.Severity, Other: under + "chlorosis"})
	}
}

// ordered takes a day that is before the day that comes first.
func (c *crossing) ordered(field string, later *string, other string, earlier *string) {
	if later != nil && earlier != nil && *later < *earlier {
		c.add(Fault{Field: field, Code: CodeBeforeOther, Value: shorten(*later), Other: other, OtherValue: shorten(*earlier)})
	}
}

func (c *crossing) lot(l *Lot) {
	c.ordered("potted_on", l.PottedOn, "struck_on", l.StruckOn)
	c.ordered("shipped_on", l.ShippedOn, "potted_on", l.PottedOn)
	if l.Parent != nil && *l.Parent == l.Of {
		c.add(Fault{Field: "parent", Code: CodeOwnParent})
	}
	if l.Mother != nil && *l.Mother == l.Of {
		c.add(Fault{Field: "mother", Code: CodeOwnParent})
	}
}

// event asks of cuttings how many there were and where they went, and of nothing else.
func (c *crossing) event(b *Event) {
	switch isTaken := b.What == "cuttings_taken"; {
	case isTaken && b.Cuttings == nil:
		c.add(Fault{Field: "cuttings", Code: CodeMissing})
	case isTaken && b.To == "":
		c.add(Fault{Field: "to", Code: CodeMissing})
	case isTaken && b.To == b.Lot:
		c.add(Fault{Field: "to", Code: CodeOwnParent})
	case !isTaken && (b.Cuttings != nil || b.To != ""):
		c.add(Fault{Field: "what", Code: CodeNotCuttings, Value: b.What})
	}
}

func (c *crossing) profile(p *Profile) {
	c.notBelow("max_pots", p.MaxPots, "min_pots", p.MinPots)
	if p.TroubleOkBP != nil && p.TroubleBadBP != nil && *p.TroubleBadBP <= *p.TroubleOkBP {
		c.add(Fault{
			Field: "trouble_bad_bp", Code: CodeNotAboveOther, Value: *p.TroubleBadBP, Min: bound(*p.TroubleOkBP), Unit: UnitBP, Other: "trouble_ok_bp",
		})
	}
	c.stages(&p.Stages)
	if p.Costs != nil {
		c.distinct("costs", len(*p.Costs), func(i int) any { return (*p.Costs)[i].Stage })
	}
	if p.Yields != nil {
		c.distinct("yields", len(*p.Yields), func(i int) any { return (*p.Yields)[i].Stage })
	}
	if p.Targets != nil {
		c.targets(*p.Targets)
	}
	if p.Sizes != nil {
		c.sizes(*p.Sizes)
	}
	if p.Grades == nil {
		return
	}
	grades := *p.Grades
	c.distinct("grades", len(grades), func(i int) any { return [2]any{grades[i].Name, grades[i].PotMM} })
	for i, g := range grades {
		under := fmt.Sprintf("grades[%d].", i)
		c.notBelow(under+"head_max_mm", g.HeadMaxMM, under+"head_min_mm", g.HeadMinMM)
	}
}

func (c *crossing) targets(rows []HeadTarget) {
	last := map[int]int{} // by pot size, 0 for all
	for i, row := range rows {
		under := fmt.Sprintf("targets[%d].", i)
		c.notBelow(under+"high_mm", &row.HighMM, under+"low_mm", &row.LowMM)
		size := 0
		if row.PotMM != nil {
			size = *row.PotMM
		}
		if before, some := last[size]; some && row.Day <= rows[before].Day {
			c.add(Fault{
				Field: under + "day", Code: CodeNotAboveOther, Value: row.Day, Min: bound(rows[before].Day),
				Other: fmt.Sprintf("targets[%d].day", before),
			})
		}
		last[size] = i
	}
}

// sizes takes a line whose days are there in part: the one that is missing is asked for.
func (c *crossing) sizes(lines []SizedStage) {
	c.distinct("sizes", len(lines), func(i int) any { return [2]any{lines[i].Stage, lines[i].PotMM} })
	for i, line := range lines {
		under := fmt.Sprintf("sizes[%d].", i)
		days := []struct {
			field string
			value *int
		}{{"shortest_days", line.ShortestDays}, {"likely_days", line.LikelyDays}, {"longest_days", line.LongestDays}}
		some := line.ShortestDays != nil || line.LikelyDays != nil || line.LongestDays != nil
		for k, day := range days {
			switch {
			case some && day.value == nil:
				c.add(Fault{Field: under + day.field, Code: CodeMissing})
			case k > 0:
				c.notBelow(under+day.field, day.value, under+days[k-1].field, days[k-1].value)
			}
		}
	}
}

func (c *crossing) stages(st *Stages) {
	stages := st.ByName()
	for _, name := range StageNames {
		if s, set := stages[name]; set {
			c.notBelow(name+".likely_days", &s.LikelyDays, name+".shortest_days", &s.ShortestDays)
			c.notBelow(name+".longest_days", &s.LongestDays, name+".likely_days", &s.LikelyDays)
		}
	}
}

// signs are the reasons that can only add pots (1) or only take them (-1); all others may do either.
var signs = map[string]int{
	"opening": 1, "potted": 1, "received": 1, "found": 1, "struck": 1, "returned": 1, "lost_root": -1, "lost_disease": -1, "lost_pest": -1, "lost_dry": -1,
	"lost_cold": -1, "culled": -1, "sold": -1, "shipped": -1,
}

func (c *crossing) count(b *Count) {
	f := Fault{Field: "change", Code: CodeSign, Value: b.Change, Other: "reason", OtherValue: b.Reason}
	switch sign := signs[b.Reason]; {
	case sign > 0 && b.Change < 0:
		f.Min = bound(1)
		c.add(f)
	case sign < 0 && b.Change > 0:
		f.Max = bound(-1)
		c.add(f)
	}
}

func (c *crossing) move(b *Move) {
	sum := 0
	for _, leg := range b.Legs {
		sum += leg.Plants()
	}
	if sum != 0 {
		c.add(Fault{Field: "legs", Code: CodeUnbalanced, Value: sum, Min: bound(0), Max: bound(0)})
	}
	c.distinct("legs", len(b.Legs), func(i int) any { return [2]string{b.Legs[i].Lot, b.Legs[i].Span} })
}
