package view

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// recentDays is how old a walk may be and still says how the beds are now.
const recentDays = 14

// Which ship weeks are shown, before and after the present one.
const (
	weeksBefore = 8
	weeksAfter  = 12
)

// Brief is the nursery in short, as other pages have it at length: Beds its uniformity and grades, Supply and the lots' bookings its promises.
func (v *Views) Brief(ctx context.Context) (schema.NurseryBrief, error) {
	var brief schema.NurseryBrief
	var all gathered
	if err := v.whole(ctx, func(m *moment) (err error) {
		brief = schema.NurseryBrief{Name: m.n.site, Today: v.dayIn(m.n).String(), RecentDays: recentDays, WeeksBefore: weeksBefore, WeeksAfter: weeksAfter}
		beds, err := m.bedsInUse()
		if err != nil {
			return err
		}
		v.briefBeds(m.n, beds, &brief)
		all, err = m.gather()
		return err
	}); err != nil {
		return brief, err
	}
	return brief, v.briefWeeks(ctx, all, &brief)
}

// bedsInUse are the beds on which something stands, those in coolers left out.
func (m *moment) bedsInUse() (all []schema.BedBrief, err error) {
	ids := m.n.bedsWithoutHouse()
	for _, h := range m.n.houses {
		if !h.isCooler() {
			ids = append(ids, m.n.bedsOfHouse(h.id)...)
		}
	}
	if all, err = m.briefs(ids); err != nil {
		return nil, err
	}
	return slices.DeleteFunc(all, func(b schema.BedBrief) bool { return len(b.Spans) == 0 }), nil
}

// briefBeds fills in what the beds say.
func (v *Views) briefBeds(n *nursery, beds []schema.BedBrief, brief *schema.NurseryBrief) {
	since := v.nowMS() - (recentDays * 24 * time.Hour).Milliseconds()
	brief.Beds = len(beds)
	byCrop, scored := map[string]*cropBrief{}, map[string][]schema.BedBrief{}
	at := func(key, name string) *cropBrief {
		if byCrop[key] == nil {
			byCrop[key] = &cropBrief{schema.CropBrief{Crop: name}, map[string]bool{}}
		}
		return byCrop[key]
	}
	for _, b := range beds {
		brief.WalkedAt = max(brief.WalkedAt, b.LastWalkAt)
		if b.LastWalkAt >= since {
			brief.Recent++
			if b.Unfinished != nil {
				brief.Unfinished++
			}
		}
		key, name := cropOf(b.Spans)
		one := at(key, name)
		one.Beds++
		if b.Score == nil {
			continue
		}
		if b.Score.Uniformity.Known && !b.Score.TooFewPots {
			scored[key] = append(scored[key], b)
		}
		for _, lot := range b.Score.Lots {
			stands := slices.IndexFunc(b.Spans, func(s schema.SpanView) bool { return s.Lot == lot.Lot })
			if lot.GradeOut == nil || stands < 0 {
				continue
			}
			name := b.Spans[stands].Crop
			at(bed.CropKey(name), name).grade(lot)
		}
	}
	for key, some := range scored {
		byCrop[key].even(some)
	}
	// The empty key, of beds with several crops, comes last.
	brief.Crops = []schema.CropBrief{}
	for _, key := range slices.SortedFunc(maps.Keys(byCrop), func(a, b string) int { return cmp.Or(cmp.Compare(min(len(b), 1), min(len(a), 1)), cmp.Compare(a, b)) }) {
		brief.Crops = append(brief.Crops, byCrop[key].CropBrief)
	}
}

// cropOf is the crop of a bed, "" where there are several.
func cropOf(spans []schema.SpanView) (key, name string) {
	for i, s := range spans {
		if i == 0 {
			key, name = bed.CropKey(s.Crop), s.Crop
		} else if bed.CropKey(s.Crop) != key {
			return "", ""
		}
	}
	return key, name
}

// cropBrief is a crop that is being filled in; early are its lots that are not far enough to be graded.
type cropBrief struct {
	schema.CropBrief
	early map[string]bool
}

// even says how even a crop's beds are, of those with a uniformity.
func (c *cropBrief) even(beds []schema.BedBrief) {
	slices.SortFunc(beds, func(a, b schema.BedBrief) int {
		return cmp.Or(cmp.Compare(a.Score.Uniformity.Value, b.Score.Uniformity.Value), cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	value := func(i int) float64 { return beds[i].Score.Uniformity.Value }
	c.Scored, c.Lowest, c.Highest = len(beds), value(0), value(len(beds)-1)
	c.Median = (value((len(beds)-1)/2) + value(len(beds)/2)) / 2
	c.Least = &schema.LeastEven{Bed: beds[0].Name, Uniformity: beds[0].Score.Uniformity}
}

// grade adds what the last walk of a bed saw of a lot. Pots that were seen before the rules judge them are left out: they are small, not bad.
func (c *cropBrief) grade(lot schema.LotScore) {
	out := lot.GradeOut
	if out.Promise.Hold == bed.HoldEarly {
		c.early[lot.Lot] = true
		c.Early = len(c.early)
		return
	}
	c.Whole += out.N
	for i, g := range out.Grades {
		// The last, without a name, is of pots that meet no rule.
		if g.Name == "" {
			continue
		}
		c.Graded += g.Seen
		if i == 0 {
			c.Best += g.Seen
		}
	}
}

// briefWeeks fills in what is booked for the ship weeks around the present one.
func (v *Views) briefWeeks(ctx context.Context, all gathered, brief *schema.NurseryBrief) error {
	n := all.n
	wide := n.wide()
	supply, err := v.weeksOf(ctx, all, wide, nil)
	if err != nil {
		return err
	}
	now := v.dayIn(n).Week()
	from, to := now.Add(-weeksBefore).String(), now.Add(weeksAfter).String()
	names, weeks := n.cropNames(), map[weekOf]*schema.WeekBrief{}
	add := func(week, crop string, pots, shipped int) {
		if week < from || week > to {
			return
		}
		key := weekOf{week: week, crop: crop}
		if weeks[key] == nil {
			weeks[key] = &schema.WeekBrief{Week: week, Crop: cmp.Or(names[crop], crop), Over: week < now.String()}
		}
		weeks[key].Booked += pots
		weeks[key].Shipped += shipped
	}
	for id := range n.lots {
		if n.isStock(id) {
			continue
		}
		of := n.weekOf(id)
		served, _ := n.served(id)
		for _, b := range served {
			if !b.Cancelled {
				add(cmp.Or(b.ShipWeek, of.week), of.crop, b.Pots, b.Shipped)
			}
		}
	}
	for _, some := range wide {
		for _, b := range some {
			if b.of.isWhole() && !valueOr(b.Cancelled, false) {
				add(b.of.week, b.of.crop, valueOr(b.Pots, 0), valueOr(b.Pots, 0)-b.open)
			}
		}
	}
	for _, one := range supply {
		if at := weeks[weekOf{week: one.Week, crop: one.Crop}]; at != nil && !at.Over {
			at.Short, at.Undecided = at.Short+one.Missing, at.Undecided+one.Undecided
		}
	}
	brief.Weeks = []schema.WeekBrief{}
	for _, key := range slices.SortedFunc(maps.Keys(weeks), weekOf.before) {
		one := *weeks[key]
		if one.Over {
			one.Short = one.Booked - one.Shipped
		}
		brief.Weeks = append(brief.Weeks, one)
	}
	for _, one := range n.unplaced(wide) {
		brief.Unplaced += one.Open
	}
	return nil
}

// cropNames are the crops of all lots, each as one of them spells it.
func (n *nursery) cropNames() map[string]string {
	names := map[string]string{}
	for _, l := range n.lots {
		name := valueOr(l.Crop, "")
		if before, ok := names[bed.CropKey(name)]; !ok || name < before {
			names[bed.CropKey(name)] = name
		}
	}
	return names
}
