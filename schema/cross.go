package schema

import "fmt"

// crossFaults asks what no single field can tell: whether the fields of one body agree with each other.
func crossFaults(body any, path string) []Fault {
	c := &crossing{path: path}
	switch b := body.(type) {
	case *Observation:
		c.observation(b, "")
	case *Correction:
		c.observation(&b.Now, "now.")
	case *Walk:
		c.distinct("places", len(b.Places), func(i int) any { return b.Places[i] })
	case *Span:
		c.notBelow("to_row", b.ToRow, b.FromRow, "A last row of %d lies before the first row %d. Enter a last row of %d or more.")
	case *Lot:
		c.lot(b)
	case *Profile:
		c.profile(b)
	case *Void:
		c.distinct("records", len(b.Records), func(i int) any { return b.Records[i] })
	case *Unvoid:
		c.distinct("records", len(b.Records), func(i int) any { return b.Records[i] })
	case *Application:
		c.distinct("beds", len(b.Beds), func(i int) any { return b.Beds[i] })
	case *Count:
		c.count(b)
	case *Move:
		c.move(b)
	case *Reading:
		if b.PHC == nil && b.ECUSCM == nil && b.LightUmol == nil && b.TempDC == nil && b.MediumDC == nil && b.HumidBP == nil {
			c.add("ph_c", CodeEmpty, "at least one value", "The reading holds no value. Enter at least one: pH, conductivity, light, a temperature or humidity.")
		}
	}
	return c.faults
}

type crossing struct {
	path   string
	faults []Fault
}

func (c *crossing) add(field, code, limit, message string) {
	c.faults = append(c.faults, Fault{join(c.path, field), code, limit, message})
}

func (c *crossing) notBelow(field string, value, floor *int, message string) {
	if value != nil && floor != nil && *value < *floor {
		c.add(field, CodeContradicts, fmt.Sprintf("at least %d", *floor), fmt.Sprintf(message, *value, *floor, *floor))
	}
}

func (c *crossing) distinct(field string, n int, item func(int) any) {
	seen := make(map[any]int, n)
	for i := range n {
		if first, twice := seen[item(i)]; twice {
			c.add(fmt.Sprintf("%s[%d]", field, i), CodeTwice, "each once",
				fmt.Sprintf("%s names the same one twice (items %d and %d). Name each once.", saidOf(field).Name, first+1, i+1))
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
		c.add(under+"buds", CodeContradicts, fmt.Sprintf("at least %d", parts),
			fmt.Sprintf("The bud states add up to %d, more than the %d buds counted. Enter %d or more buds, or fewer in the states.", parts, *o.Buds, parts))
	}
	if o.Severity == nil {
		return
	}
	switch {
	case o.Chlorosis == nil:
		c.add(under+"severity", CodeContradicts, "only with chlorosis",
			"A chlorosis severity stands without saying which leaves. Enter which leaves are yellow, or leave the severity out.")
	case *o.Chlorosis == "none" && *o.Severity > 0:
		c.add(under+"severity", CodeContradicts, "0 with no chlorosis",
			fmt.Sprintf("A chlorosis severity of %d stands beside no chlorosis. Enter which leaves are yellow, or leave the severity out.", *o.Severity))
	}
}

func (c *crossing) lot(l *Lot) {
	ordered := func(field string, later, earlier *string, what string) {
		if later != nil && earlier != nil && *later < *earlier {
			c.add(field, CodeContradicts, "not before "+*earlier,
				fmt.Sprintf("%s %s lies before %s %s. Enter the later day, or leave the date out when it is not known.",
					saidOf(field).Name, *later, what, *earlier))
		}
	}
	ordered("potted_on", l.PottedOn, l.StruckOn, "the sticking on")
	ordered("shipped_on", l.ShippedOn, l.PottedOn, "the potting on")
	if l.Parent != nil && *l.Parent == l.Of {
		c.add("parent", CodeContradicts, "another lot", "The lot is named as its own parent. Choose the lot that it came from.")
	}
}

func (c *crossing) profile(p *Profile) {
	c.notBelow("max_pots", p.MaxPots, p.MinPots, "A largest walk of %d pots is below the smallest of %d. Enter %d or more.")
	if p.TroubleOkBP != nil && p.TroubleBadBP != nil && *p.TroubleBadBP <= *p.TroubleOkBP {
		c.add("trouble_bad_bp", CodeContradicts, "above the share that is fine",
			"The share that is trouble is not above the share that is fine. Enter a larger share.")
	}
	if p.Grades == nil {
		return
	}
	grades := *p.Grades
	c.distinct("grades", len(grades), func(i int) any { return [2]any{grades[i].Name, grades[i].PotMM} })
	for i, g := range grades {
		c.notBelow(fmt.Sprintf("grades[%d].head_max_mm", i), g.HeadMaxMM, g.HeadMinMM,
			"A largest head of %d mm is below the smallest of %d mm. Enter %d or more.")
	}
}

// signs are the reasons that can only add pots (1) or only take them (-1); all others may do either.
var signs = map[string]int{
	"opening": 1, "potted": 1, "received": 1, "found": 1, "lost_root": -1, "lost_disease": -1, "lost_pest": -1, "lost_dry": -1,
	"lost_cold": -1, "culled": -1, "sold": -1, "shipped": -1,
}

func (c *crossing) count(b *Count) {
	switch sign := signs[b.Reason]; {
	case sign > 0 && b.Change < 0:
		c.add("change", CodeSign, "above 0", fmt.Sprintf("A change of %d takes pots, but the reason %s adds them. Enter a number above 0, or another reason.", b.Change, b.Reason))
	case sign < 0 && b.Change > 0:
		c.add("change", CodeSign, "below 0", fmt.Sprintf("A change of %d adds pots, but the reason %s takes them. Enter a number below 0, or another reason.", b.Change, b.Reason))
	}
}

func (c *crossing) move(b *Move) {
	sum := 0
	for _, leg := range b.Legs {
		sum += leg.Change
	}
	if sum != 0 {
		c.add("legs", CodeUnbalanced, "a sum of 0", fmt.Sprintf(
			"The legs of the move add up to %d pots, so pots would appear or vanish. Enter legs that add up to 0; note a loss as a count.", sum))
	}
	c.distinct("legs", len(b.Legs), func(i int) any { return [2]string{b.Legs[i].Lot, b.Legs[i].Span} })
}
