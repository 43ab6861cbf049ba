package view

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
)

const (
	// notWritten is why the plan said nothing of a lot.
	notWritten = "not_written"
	// rightLeast is from how many lots on anything is said of all together. An assumption, no source.
	rightLeast = 10
	// rightDays is how far back lots are looked at.
	rightDays = 3 * 365
	// rightAtOnce is how long one asking may go on computing what earlier days said.
	rightAtOnce = 1500 * time.Millisecond
)

// rightWeeks are the weeks before a lot left at which the plan is asked what it said.
var rightWeeks = []int{4, 8, 12}

// Right is how right the plan was of the lots that have left. What an earlier day said is computed once and remembered; one asking
// computes for a second or two, and says how much still waits.
func (v *Views) Right(ctx context.Context) (view schema.RightView, err error) {
	all, err := v.gathered(ctx)
	if err != nil {
		return view, err
	}
	n, today := all.n, v.dayIn(all.n)
	view = schema.RightView{
		Today: today.String(), Since: (today - rightDays).String(), Lots: []schema.RightLot{}, Scores: []schema.RightScore{},
		Tenths: []schema.RightTenth{}, Least: rightLeast, MadeAt: v.journal.NowMS(),
	}
	wanted := n.leftSince(today - rightDays)
	if view.Waiting, err = v.lookBack(ctx, wanted, rightAtOnce); err != nil {
		return view, err
	}
	for _, one := range wanted {
		view.Lots = append(view.Lots, v.rightLot(all, one))
	}
	if len(view.Lots) >= rightLeast {
		view.Scores, view.Tenths = scoresOf(view.Lots), tenthsOf(view.Lots)
	}
	view.Seasons, view.Pace = v.seasonsSeen(n, view.Lots), n.paceSeen()
	return view, nil
}

// leftLot is a lot with the day on which it left.
type leftLot struct {
	id string
	on calendar.Day
}

// leftSince are the lots that left on a day or later, the newest first.
func (n *nursery) leftSince(from calendar.Day) (lots []leftLot) {
	for id, l := range n.lots {
		if on := dayOf(l.ShippedOn); on != nil && *on >= from {
			lots = append(lots, leftLot{id, *on})
		}
	}
	byTag := n.byTag()
	slices.SortFunc(lots, func(a, b leftLot) int { return cmp.Or(cmp.Compare(b.on, a.on), byTag(a.id, b.id)) })
	return lots
}

func (one leftLot) asked(weeks int) saidOf { return saidOf{one.id, one.on.String(), weeks} }

// lookBack computes what the plan said of lots on earlier days, as far as it is not remembered, the newest days first. It begins no further
// day after atMost, and returns how many answers are left to compute.
func (v *Views) lookBack(ctx context.Context, lots []leftLot, atMost time.Duration) (waiting int, err error) {
	epoch := v.journal.Epoch()
	byDay := map[calendar.Day][]saidOf{}
	v.keeping.Lock()
	if v.said == nil || v.saidIn != epoch {
		v.said, v.saidIn = map[saidOf]saidThen{}, epoch
	}
	for _, one := range lots {
		for _, weeks := range rightWeeks {
			if _, known := v.said[one.asked(weeks)]; !known {
				day := one.on - calendar.Day(7*weeks)
				byDay[day] = append(byDay[day], one.asked(weeks))
				waiting++
			}
		}
	}
	v.keeping.Unlock()
	if waiting == 0 {
		return 0, nil
	}
	var moved []int64
	if err := v.at(ctx, func(m *moment) (err error) {
		moved, err = m.snap.MovedPots()
		return err
	}); err != nil {
		return waiting, err
	}
	began := time.Now()
	for _, day := range slices.Backward(slices.Sorted(maps.Keys(byDay))) {
		if time.Since(began) > atMost {
			break
		}
		if err := v.lookBackTo(ctx, epoch, day, byDay[day], moved); err != nil {
			return waiting, err
		}
		waiting -= len(byDay[day])
	}
	return waiting, nil
}

// lookBackTo computes what the plan said of some lots on one day.
func (v *Views) lookBackTo(ctx context.Context, epoch string, day calendar.Day, asked []saidOf, moved []int64) error {
	said := map[saidOf]saidThen{}
	if err := v.at(ctx, func(m *moment) error {
		p, err := m.pastOf(day, moved)
		if err != nil {
			return err
		}
		var ids []string
		for _, one := range asked {
			ids = append(ids, one.lot)
		}
		all, err := p.gather(ids)
		if err != nil {
			return err
		}
		earlier := all.earlierByKind()
		for _, one := range asked {
			said[one] = p.say(all, one.lot, earlier)
		}
		return nil
	}); err != nil {
		return err
	}
	v.keeping.Lock()
	defer v.keeping.Unlock()
	// A journal that was set back meanwhile may have had other notes by that day.
	if v.saidIn == epoch && v.journal.Epoch() == epoch {
		maps.Copy(v.said, said)
	}
	return nil
}

// rightLot is a lot that has left with what was said of it.
func (v *Views) rightLot(all gathered, one leftLot) schema.RightLot {
	n, l := all.n, all.n.lots[one.id]
	lot := schema.RightLot{
		Lot: one.id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), PotMM: valueOr(l.PotMM, 0),
		LeftOn: one.on.String(), Said: []schema.RightSaid{}, Walk: all.lastWalk(one.id),
	}
	lot.Shipped, _ = n.goneOut(one.id, math.MaxInt32, one.on)
	for _, weeks := range rightWeeks {
		v.keeping.Lock()
		then, known := v.said[one.asked(weeks)]
		v.keeping.Unlock()
		if known {
			lot.Said = append(lot.Said, n.rightSaid(one, weeks, then))
		}
	}
	return lot
}

// rightSaid sets what was said against what happened.
func (n *nursery) rightSaid(one leftLot, weeks int, then saidThen) schema.RightSaid {
	on := one.on - calendar.Day(7*weeks)
	said := schema.RightSaid{
		Weeks: weeks, On: on.String(), Problem: then.problem, Ready05: dateOrNone(then.said.Ready05), Ready50: dateOrNone(then.said.Ready50),
		Ready95: dateOrNone(then.said.Ready95), ShipWeek: then.shipWeek, Chance: then.said.Chance, Basis: then.basis, Shares: then.shares,
	}
	if then.problem != "" {
		return said
	}
	verdict, ok := then.said.Against(one.on)
	if said.InTime = verdict.InTime; ok {
		said.Inside, said.LateDays = &verdict.Inside, &verdict.LateDays
	}
	if then.said.By == nil || then.sure == 0 {
		return said
	}
	said.Sure = &then.sure
	if said.Shipped, said.Moved = n.goneOut(one.id, then.said.By.Week().Day(7), on); !said.Moved {
		said.Held = new(said.Shipped >= then.sure)
	}
	return said
}

// goneOut is how many pots of a lot were shipped or sold up to a day and did not come back by then, and whether pots went on as another lot after the day since.
func (n *nursery) goneOut(lot string, upTo, since calendar.Day) (pots int, moved bool) {
	if n.stock[lot] == nil {
		return 0, false
	}
	net := map[string]int{}
	for _, line := range n.stock[lot].Lines {
		if line.Voided != nil {
			continue
		}
		on := n.dayAt(line.By.Stamp.At)
		switch line.Reason {
		case "shipped", "sold", "returned":
			if on <= upTo {
				pots -= line.Change
			}
		case "moved", "step_up", "split", "merged":
			if on > since {
				net[line.By.Entry] += line.Change
			}
		}
	}
	for _, change := range net {
		moved = moved || change < 0
	}
	return max(0, pots), moved
}

// lastWalk is what the last whole walks saw of a lot before it left; nil where none did or its crop has no grades for its pots.
func (all gathered) lastWalk(id string) *schema.RightWalk {
	grades := all.n.gradesOf(id)
	if len(all.seen[id].on) == 0 || len(grades) == 0 {
		return nil
	}
	w := &schema.RightWalk{Grades: grades, In: make([]int, len(grades))}
	for _, one := range all.seen[id].on {
		g := bed.Graded(bed.Walked{Pots: one.pots}, all.n.judgedOf(id), valueOr(all.n.lots[id].PotMM, 0))
		w.Seen += g.Seen
		for k, in := range g.In {
			w.In[k] += in
		}
		if on := all.n.dayAt(one.walk.At).String(); w.On == "" || on < w.On {
			w.On = on
		}
	}
	return w
}
