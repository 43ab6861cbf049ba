package view_test

import (
	"context"
	"math"
	"testing"
)

// What the page of the two routes shows of the demo: lots with both answers, where they disagree too, and a price that is asked for.
func TestTheRoutesOfTheDemo(t *testing.T) {
	desk, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	view, err := desk.Routes(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	compared, waits, asked := 0, 0, 0
	for _, l := range view.Lots {
		f, n := l.Florist, l.Nursery
		if l.Problem != "" {
			if len(f.Missing) > 0 || f.MarginC != nil || l.Chance != nil {
				t.Errorf("%s has the problem %s, and numbers: %+v", l.Tag, l.Problem, l)
			}
			continue
		}
		if f.Weeks < n.Weeks {
			t.Errorf("%s: ready for florists before it is ready for nurseries: %v and %v weeks", l.Tag, f.Weeks, n.Weeks)
		}
		share := 0.0
		for _, g := range l.Grades {
			share += g.Share
			if g.Seen != nil && math.Abs(float64(g.Seen.X)-g.Share*float64(l.Whole)) > 1e-9 {
				t.Errorf("%s: %+v", l.Tag, g)
			}
			if g.PriceC == nil && g.NeededC != nil {
				asked++
				if f.MarginC != nil {
					t.Errorf("%s: a margin without the price of %s", l.Tag, g.Grade)
				}
			}
		}
		if share > 1+1e-9 {
			t.Errorf("%s: shares of %v", l.Tag, share)
		}
		if f.MarginC == nil || n.MarginC == nil {
			continue
		}
		compared++
		if got := *f.SalesC - f.LabourC - f.MaterialC - f.SpaceC; math.Abs(got-*f.MarginC) > 1e-9 {
			t.Errorf("%s: the lines add up to %v, the margin is %v", l.Tag, got, *f.MarginC)
		}
		best := float64(*l.Grades[0].PriceC)
		if above := best > *l.BreakEvenPriceC; l.BreakEvenPriceC != nil && above != (*f.MarginC > *n.MarginC) && l.Grades[0].Share > 0 && n.Loss <= f.Loss {
			t.Errorf("%s: %v over the break-even price %v, margins %v and %v", l.Tag, best, *l.BreakEvenPriceC, *f.MarginC, *n.MarginC)
		}
		if l.WaitC != nil {
			waits++
			if (*l.WaitC > 0) != (*f.MarginC > *n.MarginC) {
				t.Errorf("%s: waiting brings %v, margins %v and %v", l.Tag, *l.WaitC, *f.MarginC, *n.MarginC)
			}
		}
	}
	if compared == 0 || waits == 0 || asked == 0 {
		t.Errorf("%d lots compared, %d that would wait, %d prices asked for: the page has nothing true to show", compared, waits, asked)
	}
}
