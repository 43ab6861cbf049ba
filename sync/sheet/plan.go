package sheet

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// PlanOptions describe a bed to plan a walk of.
type PlanOptions struct {
	// Rows and Across are the bed's size in pots, from 1 to the limits of a place.
	Rows, Across int
	// Aisles is "near", "far" or "both" ("near" when left out).
	Aisles string
	// PotsOnBed is the number of pots; Rows times Across when 0.
	PotsOnBed int
	// Seed fixes the places; the same seed gives the same plan, here and on a phone.
	Seed uint32
	// N is how many pots to pull; 0 asks for as many as the wanted interval needs, from Last or the profile's expected spread.
	N int
	// Last is a score of the bed, such as a Report's, or nil.
	Last *schema.BedScore
	// Judged is what the bed is judged by; schema.DefaultJudged when nil.
	Judged *schema.Judged
}

// Planned is a sampling plan, ready for JSON.
type Planned struct {
	Rows   int    `json:"rows"`
	Across int    `json:"across"`
	Seed   uint32 `json:"seed"`
	schema.Plan
}

// Plan chooses the pots to pull (see bed.MakePlan and bed.HowMany). It fails when the bed's size is missing or past the limits.
func Plan(o PlanOptions) (Planned, error) {
	var wrong []string
	for _, size := range []struct {
		name string
		n    int
	}{{"row", o.Rows}, {"across", o.Across}} {
		if l := limits[size.name]; int64(size.n) < *l.Min || int64(size.n) > *l.Max {
			flag := map[string]string{"row": "--rows", "across": "--across"}[size.name]
			wrong = append(wrong, fmt.Sprintf("%s is %d: give the bed's size in pots, from %d to %d", flag, size.n, *l.Min, *l.Max))
		}
	}
	if o.PotsOnBed < 0 || o.N < 0 {
		wrong = append(wrong, "pots on the bed and pots to pull cannot be negative: give 0 to have them computed")
	}
	if len(wrong) > 0 {
		return Planned{}, fmt.Errorf("no plan: %s", strings.Join(wrong, "; "))
	}
	filled := Options{Aisles: o.Aisles, Judged: o.Judged}.filled()
	if o.PotsOnBed == 0 {
		o.PotsOnBed = o.Rows * o.Across
	}
	in := schema.BedInput{Rows: o.Rows, Across: o.Across, Aisles: filled.Aisles, Lots: []schema.LotOnBed{
		{FromRow: 1, ToRow: o.Rows, PotsOnBed: o.PotsOnBed, Judged: *filled.Judged},
	}}
	if o.N == 0 {
		o.N = bed.HowMany(in, o.Last)
	}
	return Planned{o.Rows, o.Across, o.Seed, bed.MakePlan(in, o.Seed, o.N)}, nil
}

// WriteTable writes the plan for people, a line for each pot in walking order. The error is the writer's.
func (p Planned) WriteTable(w io.Writer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	says := fmt.Sprintf("%d pots of a bed of %d rows, %d across (seed %d). Row 1 is at the entry end; across counts from the near aisle.\n", p.N, p.Rows, p.Across, p.Seed)
	says += "pot\trow\tacross\t\n"
	for i, place := range p.Places {
		says += fmt.Sprintf("%d\t%d\t%d\t\n", i+1, place.Row, place.Across)
	}
	if _, err := io.WriteString(t, says); err != nil {
		return err
	}
	return t.Flush()
}
