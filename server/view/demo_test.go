package view_test

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"bedwalk/fixtures/nursery"
	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/demo"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/view"
)

const seed = 1

var today = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

var planted = sync.OnceValues(func() (nursery.Nursery, error) { return nursery.Make(seed, today) })

// passed is how long ago it became today at the demo's server.
var passed atomic.Int64

// grown is the demo nursery, stored once for all tests of this file.
var grown = sync.OnceValues(func() (*view.Views, error) {
	dir, err := os.MkdirTemp("", "bedwalk-view-")
	if err != nil {
		return nil, err
	}
	cleanUp = append(cleanUp, func() { os.RemoveAll(dir) })
	ctx := context.Background()
	d, err := db.Open(ctx, db.Options{Path: filepath.Join(dir, db.File)})
	if err != nil {
		return nil, err
	}
	if err := demo.Fill(ctx, d, demo.Options{Seed: seed, Today: today, Size: nursery.Size{Beds: nursery.BlockBeds, Seasons: 1}}); err != nil {
		return nil, err
	}
	now := func() time.Time { return today.Add(time.Duration(passed.Load())) }
	store, err := journal.Open(ctx, journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: now})
	if err != nil {
		return nil, err
	}
	return view.New(store, access.New(access.Options{Store: lite.Access(d), Dir: d.Dir(), Now: now})), nil
})

var cleanUp []func()

func TestMain(m *testing.M) {
	code := m.Run()
	for _, f := range cleanUp {
		f()
	}
	os.Exit(code)
}

func desk(t *testing.T) (*view.Views, nursery.Truth) {
	t.Helper()
	d, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	n, err := planted()
	if err != nil {
		t.Fatal(err)
	}
	return d, n.Truth
}

func bedsOf(v schema.BedsView) map[string]schema.BedBrief {
	all := map[string]schema.BedBrief{}
	for _, h := range v.Houses {
		for _, b := range h.Beds {
			all[b.ID] = b
		}
	}
	return all
}

func TestTheDemosBedsShowWhatWasPlantedInThem(t *testing.T) {
	d, truth := desk(t)
	v, err := d.Beds(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	beds := bedsOf(v)
	if len(v.Houses) != 4 || v.Site != "Quillfen" || len(beds) < 35 {
		t.Fatalf("%d houses and %d beds of %q", len(v.Houses), len(beds), v.Site)
	}
	var due []string
	for id, b := range beds {
		if b.Due != "" {
			due = append(due, id)
		}
	}
	for _, id := range truth.DueBeds {
		if !slices.Contains(due, id) {
			t.Errorf("bed %s is not due", beds[id].Name)
		}
	}
	if closed := beds[truth.ClosedBed]; closed.ClosedUntil <= today.UnixMilli() {
		t.Errorf("bed %s is closed until %d", closed.Name, closed.ClosedUntil)
	}
	for _, id := range truth.MixedBeds {
		if len(beds[id].Spans) < 2 {
			t.Errorf("mixed bed %s shows %d stretches", beds[id].Name, len(beds[id].Spans))
		}
	}
	for _, b := range beds {
		for _, s := range b.Spans {
			if s.Pots <= 0 || s.FromRow < 1 || s.ToRow > b.Rows || s.Tag == "" {
				t.Errorf("bed %s has the stretch %+v", b.Name, s)
			}
		}
		if len(b.Trend) > 0 && (b.Score == nil || b.Score.Uniformity != b.Trend[len(b.Trend)-1].Uniformity) {
			t.Errorf("bed %s: the score is not that of the last walk in the trend", b.Name)
		}
	}
}

func TestABedIsShownAsAnyOfItsWalksSawIt(t *testing.T) {
	d, truth := desk(t)
	last, err := d.Bed(t.Context(), truth.GradientBed, "")
	if err != nil || len(last.Walks) < 3 || len(last.Pots) == 0 || last.HouseName == "" {
		t.Fatalf("%d walks, %d pots, %v", len(last.Walks), len(last.Pots), err)
	}
	if !slices.ContainsFunc(last.Bed.Score.Findings, func(f schema.Finding) bool { return f.Code == "gradient" }) {
		t.Errorf("the gradient was not found: %+v", last.Bed.Score.Findings)
	}
	first, err := d.Bed(t.Context(), truth.GradientBed, last.Walks[0].Walk)
	if err != nil || first.Walk != last.Walks[0].Walk || first.Bed.Score.Uniformity != last.Walks[0].Uniformity {
		t.Fatalf("the first walk is %s with %+v, %v; the trend says %+v", first.Walk, first.Bed.Score.Uniformity, err, last.Walks[0])
	}
	for _, p := range first.Pots {
		if p.Now.Walk != first.Walk {
			t.Fatalf("a pot of walk %s is shown with walk %s", p.Now.Walk, first.Walk)
		}
	}
	// The line along the bed is one of the walk's, and says the same as the finding: heads change, and by as much.
	if len(last.Along) != 1 || last.Along[0].Per5M.Interval.Low*last.Along[0].Per5M.Interval.High <= 0 {
		t.Errorf("%+v, want one line whose slope is not 0", last.Along)
	}
	if last.Since != last.Walks[0].At || last.Until != last.Walks[len(last.Walks)-1].At {
		t.Errorf("the season is from %d to %d, its walks from %d to %d", last.Since, last.Until, last.Walks[0].At, last.Walks[len(last.Walks)-1].At)
	}
	again, err := d.Bed(t.Context(), truth.GradientBed, "")
	if err != nil || again.Walk != last.Walk || again.Bed.Score.Seen != last.Bed.Score.Seen {
		t.Fatalf("looking at an old walk changed the last one: %s, %v", again.Walk, err)
	}
}

func TestAPhoneReceivesWhatTheWalksSayAndHowItsOwnScoutReads(t *testing.T) {
	d, truth := desk(t)
	v, err := d.FieldBriefing(t.Context(), truth.LargeReader)
	if err != nil {
		t.Fatal(err)
	}
	said := map[string][]string{}
	for _, b := range v.Beds {
		bed, err := d.Bed(t.Context(), b.Bed, "")
		if err != nil || bed.Walk != b.Walk || b.At == 0 {
			t.Errorf("bed %s shows walk %s, its last is %s, %v", b.Bed, b.Walk, bed.Walk, err)
		}
		for _, f := range b.Findings {
			said[b.Bed] = append(said[b.Bed], f.Code)
		}
	}
	if !slices.Contains(said[truth.GradientBed], "gradient") || !slices.Contains(said[truth.PatchBed], "patch_chlorosis") {
		t.Errorf("findings of the gradient bed %v, of the patch bed %v", said[truth.GradientBed], said[truth.PatchBed])
	}
	if v.Drift == nil || v.Drift.Person != truth.LargeReader || !v.Drift.Attention || !v.Drift.Bias.Interval.Known {
		t.Errorf("the large reader is shown %+v", v.Drift)
	}
	nobody, err := d.FieldBriefing(t.Context(), "nobody")
	if err != nil || nobody.Drift != nil || len(nobody.Beds) != len(v.Beds) {
		t.Errorf("someone who never walked is shown %+v of %d beds, %v", nobody.Drift, len(nobody.Beds), err)
	}
}

func TestCorrectedAndStruckOutPotsAreShownAsSuch(t *testing.T) {
	d, truth := desk(t)
	found := map[string]schema.PotView{}
	if err := d.Observations(t.Context(), view.Filter{}, func() error { return nil }, func(r view.PotRow) error {
		if r.ID != truth.CorrectedPot && r.ID != truth.VoidedPot {
			return nil
		}
		bed, err := d.Bed(t.Context(), r.Pot.Now.Bed, r.Pot.Now.Walk)
		for _, pot := range bed.Pots {
			found[pot.ID] = pot
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if corrected := found[truth.CorrectedPot]; corrected.By.Entry == corrected.ID || corrected.ID == "" {
		t.Errorf("the corrected pot is %+v", corrected)
	}
	if struck := found[truth.VoidedPot]; struck.Voided == nil {
		t.Errorf("the struck-out pot is %+v", struck)
	}
}

func TestALotShowsItsFamilyItsDisagreementAndItsHistory(t *testing.T) {
	d, truth := desk(t)
	child, err := d.Lot(t.Context(), truth.Child)
	if err != nil || child.Parent == nil || child.Parent.ID != truth.Parent {
		t.Fatalf("the child's parent is %+v, %v", child.Parent, err)
	}
	parent, err := d.Lot(t.Context(), truth.Parent)
	if err != nil || !slices.ContainsFunc(parent.Children, func(l schema.LotBrief) bool { return l.ID == truth.Child }) {
		t.Fatalf("the parent's children are %+v, %v", parent.Children, err)
	}
	lot, err := d.Lot(t.Context(), truth.DisagreeLot)
	if err != nil || lot.Lot.Disagree == 0 || len(lot.Record.Register.Fields[truth.DisagreeField].Others) == 0 {
		t.Fatalf("disagreements: %d, %+v, %v", lot.Lot.Disagree, lot.Record.Register.Fields[truth.DisagreeField], err)
	}
	if len(lot.History.Lines) == 0 || len(lot.Scores) == 0 || !lot.Lot.Uniformity.Known {
		t.Fatalf("%d lines of history, %d scores, uniformity %+v", len(lot.History.Lines), len(lot.Scores), lot.Lot.Uniformity)
	}
	for i, line := range lot.History.Lines {
		if line.PersonName == "" || line.DeviceName == "" {
			t.Fatalf("line %d names nobody: %+v", i, line)
		}
		if i > 0 && line.At.At > lot.History.Lines[i-1].At.At {
			t.Fatalf("line %d is newer than the one before it", i)
		}
	}
	total := 0
	for _, s := range lot.Spans {
		total += s.Pots
	}
	if total > lot.Stock.Stock.Pots {
		t.Errorf("%d pots stand on beds, but the ledger has %d", total, lot.Stock.Stock.Pots)
	}
}

func TestTheScoutWhoReadsLargeIsNamed(t *testing.T) {
	d, truth := desk(t)
	v, err := d.Scouts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	named := false
	for _, drift := range v.Drifts {
		if drift.Person != truth.LargeReader {
			continue
		}
		named = true
		if want := truth.ReadsLarge - 1; !drift.Bias.Known || math.Abs(drift.Bias.Value-want) > 0.015 || drift.Bias.Interval.Low <= 0 {
			t.Errorf("the large reader's bias is %+v, want about %.2f with an interval above 0", drift.Bias, want)
		}
	}
	if !named {
		t.Errorf("the large reader is not among the drifts of %d scouts", len(v.Drifts))
	}
	if len(v.Rounds) < len(truth.Rounds) {
		t.Fatalf("%d rounds are shown, want %d", len(v.Rounds), len(truth.Rounds))
	}
	done := 0
	for _, r := range v.Rounds {
		if r.Result != nil {
			done++
			if r.Rescored == 0 || r.First == r.By || r.BedName == "" {
				t.Errorf("round %+v", r)
			}
		}
	}
	if done == 0 || len(v.Agreements) == 0 {
		t.Errorf("%d rounds have a result, %d pairs of scouts are compared", done, len(v.Agreements))
	}
}
