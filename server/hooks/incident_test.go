package hooks_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
)

func TestWhatGoesWrongWithPhonesServerAndBackupsIsSentOnceAndWhenItIsOver(t *testing.T) {
	s, r, other := open(t), receive(t), receive(t)
	s.start(func(o *hooks.Options) {
		o.Incidents = func(ctx context.Context) (all []hooks.Incident, err error) {
			open, err := s.views.OpenIncidents(ctx)
			for _, one := range open {
				all = append(all, hooks.Incident{Code: one.Code, Device: one.Device, DeviceName: one.Name})
			}
			return all, err
		}
	})
	done := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	// No backup was ever made: that is known when the hook is made, and no news.
	s.made(r.URL, hooks.IncidentAppeared, hooks.IncidentLeft)
	s.made(other.URL, hooks.WalkEnded)
	sent := func(want ...string) {
		t.Helper()
		// Looked twice, nothing is sent twice.
		s.looks()
		s.looks()
		s.delivers()
		var got []string
		for _, c := range r.came {
			kind, data := c.kind(t)
			device, _ := data["device"].(string)
			got = append(got, fmt.Sprintf("%s %s %s", kind, data["code"], device))
		}
		r.came = nil
		if slices.Sort(got); !slices.Equal(got, want) {
			t.Errorf("sent %q; want %q", got, want)
		}
	}
	sent()
	done(s.store.File(t.Context(), "a", "fewer_than_counted", "lot 1"))
	sent("incident.appeared fewer_than_counted a")
	done(s.store.File(t.Context(), "a", "fewer_than_counted", "lot 2"))
	sent()
	done(s.store.BackedUp(t.Context(), s.store.Head()))
	done(s.store.Over(t.Context(), "a", "fewer_than_counted"))
	sent("incident.left backup ", "incident.left fewer_than_counted a")
	// It comes back, and somebody puts it away on the Phones page.
	s.clock = s.clock.Add(time.Hour)
	done(s.store.File(t.Context(), "a", "fewer_than_counted", "lot 1"))
	sent("incident.appeared fewer_than_counted a")
	open, _, err := s.store.Incidents(t.Context(), 10)
	done(err)
	done(s.store.Seen(t.Context(), schema.IncidentSeen{Device: "a", Code: "fewer_than_counted", At: open[0].At}, "p"))
	sent("incident.left fewer_than_counted a")
	// A day without a backup is nothing while no note came, and after quiet days the first note is not late for the next one.
	s.clock = s.clock.Add(25 * time.Hour)
	sent()
	s.endsWalk()
	sent()
	s.clock = s.clock.Add(25 * time.Hour)
	sent("incident.appeared backup ")
	// A note of a pot on a bed that nobody knows is held for a decision.
	from := len(s.phone.Raw) + 1
	s.phone.Note("walk_end", "", "00000000000000000000000000000bed", schema.WalkEnd{Walk: s.n.Walk, Bed: "00000000000000000000000000000bed", Why: "enough"})
	_, err = s.store.Push(t.Context(), s.phone.All(from), journal.Sender{Device: "a"})
	done(err)
	sent("incident.appeared quarantined a")
	if len(other.came) != 1 {
		t.Errorf("one that asked for walks alone gets %d messages; want the walk's", len(other.came))
	}
}

func TestTwoServersThatLookAtTheSameTimeSendWhatHappenedOnce(t *testing.T) {
	s, r := open(t), receive(t)
	var wrong []hooks.Incident
	var beside *hooks.Hooks
	server := func(o *hooks.Options) {
		o.Incidents = func(ctx context.Context) ([]hooks.Incident, error) {
			if other := beside; other != nil {
				beside = nil
				if err := other.Look(ctx); err != nil {
					return nil, err
				}
			}
			s.clock = s.clock.Add(time.Second)
			return wrong, nil
		}
	}
	s.start(server)
	other := s.Hooks
	s.start(server)
	s.made(r.URL, hooks.IncidentAppeared)
	wrong, beside = []hooks.Incident{{Code: schema.AttentionBackup}}, other
	s.looks()
	s.looks()
	s.delivers()
	if len(r.came) != 1 {
		t.Errorf("%d messages; want one", len(r.came))
	}
}
