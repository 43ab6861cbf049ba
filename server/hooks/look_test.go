package hooks_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/hooks"
	"bedwalk/server/testphone"
)

func TestAHookGetsWhatItAskedForFromThenOn(t *testing.T) {
	s, r, other := open(t), receive(t), receive(t)
	s.endsWalk()
	s.made(r.URL, hooks.WalkEnded, hooks.ShipWeekChanged)
	week := func(week string, saw ...string) string {
		return s.notes("lot", s.n.Lot, "", schema.Lot{Writes: schema.Writes{Of: s.n.Lot, Saw: saw}, ShipWeek: &week})
	}
	first := week("2001-W50")
	s.looks()
	s.made(other.URL, hooks.ShipWeekChanged)
	second := week("2001-W51", first)
	s.endsWalk()
	s.delivers()
	said := func(r *receiver) (all []string) {
		for _, c := range r.came {
			kind, data := c.kind(t)
			all = append(all, strings.TrimSpace(fmt.Sprintf("%s %v>%v", kind, data["was"], data["now"])))
		}
		slices.Sort(all)
		return all
	}
	if got, want := said(r), []string{"lot.ship_week_changed 2001-W50>2001-W51", "lot.ship_week_changed >2001-W50", "walk.ended <nil>><nil>"}; !slices.Equal(got, slices.Sorted(slices.Values(want))) {
		t.Errorf("it gets %q", got)
	}
	if got := said(other); !slices.Equal(got, []string{"lot.ship_week_changed 2001-W50>2001-W51"}) {
		t.Errorf("the other one gets %q", got)
	}
	// Struck out, the lot has its earlier week again.
	s.notes("void", s.n.Lot, "", map[string]any{"names": second, "records": []string{"lot:" + s.n.Lot}, "why": "mistake"})
	s.looks()
	s.delivers()
	if got := said(other); len(got) != 2 || !slices.Contains(got, "lot.ship_week_changed 2001-W51>2001-W50") {
		t.Errorf("after it was struck out: %q", got)
	}
}

func TestAFindingThatNeedsAStepIsSentWhenItAppearsAndWhenItIsNotFoundAgain(t *testing.T) {
	s, r := open(t), receive(t)
	s.made(r.URL, hooks.FindingAppeared, hooks.FindingLeft)
	walk := func(name string, rot bool) {
		t.Helper()
		from := len(s.phone.Raw) + 1
		s.clock = s.clock.Add(24 * time.Hour)
		s.n.Walk = testphone.ID(name)
		s.phone.StartWalk(s.n)
		for i := range 20 {
			pot := s.n.Pot(1+i%10, 1+i/10*2, 200+i%5, 40)
			if rot {
				dead := 1
				pot.RootLife = &dead
			}
			s.phone.Note("observation", s.n.Lot, s.n.Bed, pot)
		}
		s.phone.Note("walk_end", "", s.n.Bed, schema.WalkEnd{Walk: s.n.Walk, Bed: s.n.Bed, Why: "enough"})
		s.push(from)
		s.looks()
		s.delivers()
	}
	sent := func() (all []string) {
		for _, c := range r.came {
			kind, data := c.kind(t)
			if data["code"] == "rot" {
				all = append(all, kind)
			}
			if data["bed_name"] != "E1" || data["bed"] != s.n.Bed || data["walk"] == "" {
				t.Errorf("sent %s", c.body)
			}
		}
		return all
	}
	walk("sound", false)
	if got := sent(); len(got) != 0 {
		t.Fatalf("of a sound bed it sends %q", got)
	}
	walk("rotten", true)
	walk("rotten still", true)
	if got := sent(); !slices.Equal(got, []string{hooks.FindingAppeared}) {
		t.Fatalf("of rot it sends %q", got)
	}
	walk("sound again", false)
	if got := sent(); !slices.Equal(got, []string{hooks.FindingAppeared, hooks.FindingLeft}) {
		t.Errorf("when it is not found again it sends %q", got)
	}
}

func TestAHookThatIsOffGetsNothingThen(t *testing.T) {
	s, r := open(t), receive(t)
	id, _ := s.made(r.URL, hooks.WalkEnded)
	if err := s.Switch(t.Context(), id, false); err != nil {
		t.Fatal(err)
	}
	s.endsWalk()
	if err := s.Switch(t.Context(), id, true); err != nil {
		t.Fatal(err)
	}
	s.delivers()
	if len(r.came) != 0 {
		t.Error("it gets afterwards what happened while it was off")
	}
	s.endsWalk()
	if s.delivers(); len(r.came) != 1 {
		t.Errorf("%d messages came", len(r.came))
	}
	if err := errors.Join(s.Remove(t.Context(), id)); err != nil {
		t.Fatal(err)
	}
	if err := s.Remove(t.Context(), id); !errors.Is(err, hooks.ErrNoHook) {
		t.Errorf("removing it again: %v", err)
	}
	if _, err := s.Test(t.Context(), id); !errors.Is(err, hooks.ErrNoHook) {
		t.Errorf("testing it: %v", err)
	}
	if _, _, err := s.Make(t.Context(), hooks.Hook{Name: "x", URL: r.URL, Events: []string{"rain.fell"}}); !errors.Is(err, hooks.ErrEvent) {
		t.Errorf("an event that is none: %v", err)
	}
}

func TestWhatHappenedJustBeforeAHookWasSwitchedOnIsForTheOthersAlone(t *testing.T) {
	s, r, other := open(t), receive(t), receive(t)
	s.made(other.URL, hooks.WalkEnded)
	id, _ := s.made(r.URL, hooks.WalkEnded)
	if err := s.Switch(t.Context(), id, false); err != nil {
		t.Fatal(err)
	}
	// The server has not looked yet when it is switched on.
	s.notes("walk_end", "", s.n.Bed, schema.WalkEnd{Walk: s.n.Walk, Bed: s.n.Bed, Why: "enough"})
	if err := s.Switch(t.Context(), id, true); err != nil {
		t.Fatal(err)
	}
	s.delivers()
	if len(r.came) != 0 || len(other.came) != 1 {
		t.Errorf("%d messages came to it, %d to the other; want 0 and 1", len(r.came), len(other.came))
	}
}

func TestWhatHappensIsNoticedWhileAReceiverHangs(t *testing.T) {
	asked, answer := make(chan struct{}), make(chan struct{})
	s := open(t, func(o *hooks.Options) { o.Within = time.Hour })
	r := receive(t, func(http.ResponseWriter, *http.Request) {
		close(asked)
		<-answer
	})
	id, _ := s.made(r.URL, hooks.WalkEnded)
	s.endsWalk()
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() {
		s.Hooks.Run(ctx)
		close(ended)
	}()
	t.Cleanup(func() {
		stop()
		close(answer)
		<-ended
	})
	<-asked
	s.notes("walk_end", "", s.n.Bed, schema.WalkEnd{Walk: s.n.Walk, Bed: s.n.Bed, Why: "enough"})
	s.Changed()
	for within := time.Now().Add(time.Minute); s.one(id).Waiting < 2; time.Sleep(10 * time.Millisecond) {
		if time.Now().After(within) {
			t.Fatal("a walk that ended was not noticed")
		}
	}
}
