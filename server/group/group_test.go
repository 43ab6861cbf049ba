package group

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"testing"
	"time"

	"bedwalk/schema"
)

// oneLink is a nursery with one row, or with none.
type oneLink struct {
	row  Link
	hash [32]byte
}

func (o oneLink) Link(_ context.Context, hash [32]byte) (Link, bool, error) {
	return o.row, o.row.ID != "" && hash == o.hash, nil
}
func (o oneLink) All(context.Context) ([]Link, error)         { return []Link{o.row}, nil }
func (o oneLink) Put(context.Context, Link, [32]byte) error   { return nil }
func (o oneLink) Use(context.Context, string, int64) error    { return nil }
func (o oneLink) Revoke(context.Context, string, int64) error { return nil }

func newGroup(all []Nursery) *Group {
	g := &Group{Now: time.Now, Within: time.Hour, Log: slog.New(slog.DiscardHandler)}
	var numbers []int32
	for i, one := range all {
		g.Add(int32(i), one)
		numbers = append(numbers, int32(i))
	}
	g.Open = func(context.Context, [32]byte) ([]int32, error) { return numbers, nil }
	return g
}

// A nursery that does not answer is named beside those that do, and where none says that the link is good none is.
func TestANurseryThatDoesNotAnswerIsNamedBesideTheOthers(t *testing.T) {
	secret, hash, id := Draw()
	slow := func(context.Context) (schema.NurseryBrief, error) {
		return schema.NurseryBrief{}, fmt.Errorf("ask the database: %w", context.DeadlineExceeded)
	}
	quick := func(context.Context) (schema.NurseryBrief, error) { return schema.NurseryBrief{Name: "Quick"}, nil }
	fails := func(context.Context) (schema.NurseryBrief, error) { return schema.NurseryBrief{}, errors.New("gone") }
	good := oneLink{Link{ID: id, For: "Mara"}, hash}
	g := newGroup([]Nursery{{Site: "b", Links: good, Brief: quick}})
	g.Open = func(context.Context, [32]byte) ([]int32, error) { return []int32{0, 7}, nil }
	if view, err := g.View(t.Context(), secret); err != nil || len(view.Nurseries) != 2 || view.Nurseries[0].Site != "#7" || view.Nurseries[0].Away != "not_served" {
		t.Errorf("one that was begun since: %+v, %v", view, err)
	}
	for what, one := range map[string]struct {
		of   []Nursery
		away []string
		want error
	}{
		"a slow one, one that fails and one that is not served": {
			[]Nursery{{Site: "a", Links: good, Brief: slow}, {Site: "b", Links: good, Brief: quick}, {Site: "c", Links: good, Brief: fails}, {Site: "d"}},
			[]string{"slow", "", "failed", "not_served"}, nil,
		},
		"only one that is not served": {[]Nursery{{Site: "d"}}, nil, ErrAway},
		"one that revoked it":         {[]Nursery{{Site: "a", Links: oneLink{Link{ID: id, RevokedAt: 1}, hash}, Brief: quick}, {Site: "d"}}, nil, ErrRevoked},
		"one that has no such row":    {[]Nursery{{Site: "a", Links: oneLink{}, Brief: quick}}, nil, ErrUnknown},
	} {
		g := newGroup(one.of)
		view, err := g.View(t.Context(), secret)
		if !errors.Is(err, one.want) || len(view.Nurseries) != len(one.away) {
			t.Errorf("%s: %+v, %v", what, view, err)
			continue
		}
		for i, away := range one.away {
			if got := view.Nurseries[i]; got.Away != away || got.Site != one.of[i].Site || (got.Brief == nil) != (away != "") {
				t.Errorf("%s: %+v, want it away by %q", what, got, away)
			}
		}
	}
}
