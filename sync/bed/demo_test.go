package bed_test

import (
	"cmp"
	"encoding/json"
	"maps"
	"slices"
	"sync"
	"testing"
	"time"

	"bedwalk/fixtures/nursery"
	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// demo is the demo nursery's records, folded from its pushes as the server would.
type demo struct {
	truth   nursery.Truth
	records map[string]schema.Record
}

// quillfen is made once: no test changes it.
var quillfen = sync.OnceValues(func() (demo, error) { return grow(1) })

func grow(seed uint64) (demo, error) {
	n, err := nursery.Make(seed, time.Date(2026, time.June, 11, 15, 0, 0, 0, time.UTC))
	if err != nil {
		return demo{}, err
	}
	named := map[string][]schema.Stamped{}
	position := int64(0)
	for _, arrival := range n.Pushes {
		for _, raw := range arrival.Push.Entries {
			e, err := journal.Parse(raw)
			if err != nil {
				return demo{}, err
			}
			position++
			stamped := schema.Stamped{Entry: e, Stamp: schema.Stamp{At: e.Wall, Quality: schema.Exact}, Position: position}
			for _, key := range fold.Keys(e) {
				named[key] = append(named[key], stamped)
			}
		}
	}
	d := demo{truth: n.Truth, records: map[string]schema.Record{}}
	for key, entries := range named {
		if record, ok := fold.Fold(key, entries); ok {
			d.records[key] = record
		}
	}
	return d, nil
}

func theDemo(t *testing.T) demo {
	t.Helper()
	d, err := quillfen()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// shown reads one field of a register.
func shown[T any](t *testing.T, r schema.Record, field string) (value T) {
	t.Helper()
	if r.Register == nil || r.Register.Fields[field].Value == nil {
		return value
	}
	if err := json.Unmarshal(r.Register.Fields[field].Value, &value); err != nil {
		t.Fatalf("%s of %s: %v", field, r.Key, err)
	}
	return value
}

// walkOf is one walk with its pots.
type walkOf struct {
	id, bed, person, round string
	at                     int64
	pots                   []schema.PotSeen
}

// walks are all walks of a bed, oldest first; of every bed for "".
func (d demo) walks(bedID string) []walkOf {
	byID := map[string]*walkOf{}
	for _, r := range d.records {
		if r.Walk != nil && r.Walk.Open != nil && (bedID == "" || r.Walk.Open.Bed == bedID) {
			w := r.Walk
			byID[w.Open.Walk] = &walkOf{id: w.Open.Walk, bed: w.Open.Bed, person: w.By.Person, round: w.Open.Round, at: w.By.Stamp.At}
		}
	}
	for key, r := range d.records {
		if r.Pot == nil || r.Pot.Voided != nil {
			continue
		}
		if w := byID[r.Pot.Now.Walk]; w != nil {
			w.pots = append(w.pots, schema.PotSeen{
				ID: key, Person: r.Pot.First.Person, At: r.Pot.First.Stamp.At, Now: r.Pot.Now, Checked: r.Pot.Versions > 1,
			})
		}
	}
	var all []walkOf
	for _, w := range byID {
		all = append(all, *w)
	}
	slices.SortFunc(all, func(a, b walkOf) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.id, b.id)) })
	return all
}

// input is a bed as it stands, with the pots of one walk.
func (d demo) input(t *testing.T, bedID string, w walkOf) schema.BedInput {
	t.Helper()
	r := d.records["bed:"+bedID]
	in := schema.BedInput{
		Bed: bedID, Rows: shown[int](t, r, "rows"), Across: shown[int](t, r, "across"), LengthMM: shown[int](t, r, "length_mm"),
		EntryEnd: shown[string](t, r, "entry_end"), FarEnd: shown[string](t, r, "far_end"), Aisles: shown[string](t, r, "aisles"),
		Pots: w.pots,
	}
	for _, key := range slices.Sorted(maps.Keys(d.records)) {
		span := d.records[key]
		if span.Register == nil || shown[string](t, span, "bed") != bedID || shown[string](t, span, "lot") == "" || shown[bool](t, span, "ended") {
			continue
		}
		lot := shown[string](t, span, "lot")
		on := schema.LotOnBed{
			Lot: lot, FromRow: shown[int](t, span, "from_row"), ToRow: shown[int](t, span, "to_row"),
			PotMM: shown[int](t, d.records["lot:"+lot], "pot_mm"), Judged: schema.DefaultJudged(),
		}
		if stock := d.records["stock:"+lot].Stock; stock != nil {
			on.PotsOnBed = stock.BySpan[span.Register.Of]
		}
		in.Lots = append(in.Lots, on)
	}
	return in
}

// last is the bed's last walk that was no blind re-score, scored.
func (d demo) last(t *testing.T, bedID string) schema.BedScore {
	t.Helper()
	walks := slices.DeleteFunc(d.walks(bedID), func(w walkOf) bool { return w.round != "" })
	if len(walks) == 0 {
		t.Fatalf("nobody walked bed %s", bedID)
	}
	return bed.Score(d.input(t, bedID, walks[len(walks)-1]))
}

func finding(s schema.BedScore, code, trait string) (schema.Finding, bool) {
	for _, f := range s.Findings {
		if f.Code == code && f.Trait == trait {
			return f, true
		}
	}
	return schema.Finding{}, false
}

func TestTheDemosMixedBedsReadEvenWithinTheirLots(t *testing.T) {
	d := theDemo(t)
	told := 0
	for _, id := range d.truth.MixedBeds {
		s := d.last(t, id)
		together := s
		in := d.input(t, id, d.walks(id)[0])
		if len(in.Lots) < 2 || len(s.Lots) < 2 {
			t.Errorf("mixed bed %s has %d lots", id, len(in.Lots))
		}
		if _, ok := finding(s, bed.CodeBetweenLots, bed.Head); ok {
			told++
		}
		// The bed is at least as even as its least even lot, whatever the lots' means.
		least := 1.0
		for _, l := range together.Lots {
			if u := l.Traits[0].Uniformity; u.Known && l.Traits[0].N >= bed.Fewest {
				least = min(least, u.Value)
			}
		}
		if s.Traits[0].Uniformity.Value < least-0.1 {
			t.Errorf("mixed bed %s reads %.2f, its least even lot %.2f", id, s.Traits[0].Uniformity.Value, least)
		}
	}
	if told == 0 {
		t.Errorf("of %d mixed beds none is said to differ between its lots", len(d.truth.MixedBeds))
	}
}

func TestTheDemosGradientNamesItsEnd(t *testing.T) {
	d := theDemo(t)
	s := d.last(t, d.truth.GradientBed)
	f, ok := finding(s, bed.CodeGradient, bed.Head)
	if !ok {
		t.Fatalf("no gradient among %v", s.Findings)
	}
	if f.End != "far" || f.Numbers["per_5m"] < d.truth.GradientPer5M/2 || f.Numbers["per_5m"] > d.truth.GradientPer5M*2 {
		t.Errorf("have %+v, planted %.3f toward the far end", f, d.truth.GradientPer5M)
	}
}

func TestTheDemosChlorosisPatchIsFoundWhereItIs(t *testing.T) {
	d := theDemo(t)
	foundWhereItIs(t, d)
}

func TestTheChlorosisPatchIsFoundInOtherNurseriesToo(t *testing.T) {
	// Of six nurseries looked at, the patch of the tenth (7 flagged of 31) is missed since false alarms are held under 1 in 100.
	for _, seed := range []uint64{2, 4} {
		d, err := grow(seed)
		if err != nil {
			t.Fatal(err)
		}
		foundWhereItIs(t, d)
	}
}

func foundWhereItIs(t *testing.T, d demo) {
	t.Helper()
	s := d.last(t, d.truth.PatchBed)
	f, ok := finding(s, bed.CodePatchChlorosis, "")
	if !ok {
		t.Fatalf("no patch among %v", s.Findings)
	}
	in := d.input(t, d.truth.PatchBed, walkOf{})
	metre := float64(in.LengthMM) / 1000 / float64(in.Rows)
	from, to := float64(d.truth.PatchRows[0]-1)*metre, float64(d.truth.PatchRows[1])*metre
	if f.Numbers["from_m"] > to || f.Numbers["to_m"] < from {
		t.Errorf("found from %.1f to %.1f m, planted from %.1f to %.1f m", f.Numbers["from_m"], f.Numbers["to_m"], from, to)
	}
}

func TestTheDemosRotAndUnevenBedStandOut(t *testing.T) {
	d := theDemo(t)
	if f, ok := finding(d.last(t, d.truth.RotBed), bed.CodeRot, ""); !ok || !f.Attention {
		t.Errorf("no rot on the bed with rot")
	}
	uneven := d.last(t, d.truth.UnevenBed)
	if u := uneven.Traits[0].Uniformity; u.Value > 0.7 {
		t.Errorf("the uneven bed (CV %.2f) reads %.2f", d.truth.UnevenCV, u.Value)
	}
}

func TestTheDemosLargeReaderIsNamedWithAnInterval(t *testing.T) {
	d := theDemo(t)
	var readings []bed.Reading
	for _, w := range d.walks("") {
		if w.round != "" {
			continue
		}
		heads := map[string][]float64{}
		for _, p := range w.pots {
			if mm, ok := bed.HeadMM(p.Now); ok {
				heads[p.Now.Lot] = append(heads[p.Now.Lot], mm)
			}
		}
		for lot, mm := range heads {
			slices.Sort(mm)
			readings = append(readings, bed.Reading{Person: w.person, Lot: lot, Bed: w.bed, At: w.at, Heads: bed.LogMeanOf(mm)})
		}
	}
	named := 0
	for _, drift := range bed.Drifts(readings) {
		switch {
		case drift.Person == d.truth.LargeReader:
			named++
			want := d.truth.ReadsLarge - 1
			if !drift.Attention || drift.Bias.Interval.Low > want || drift.Bias.Interval.High < want-0.01 {
				t.Errorf("the large reader: %+v, planted %.3f", drift, want)
			}
		case drift.Attention:
			t.Errorf("named wrongly: %+v", drift)
		}
	}
	if named != 1 {
		t.Errorf("the large reader is not among the scouts")
	}
}

func TestTheDemosBlindRescoresShowTheSameReader(t *testing.T) {
	d := theDemo(t)
	for _, id := range d.truth.Rounds {
		round := d.records["round:"+id]
		first := shown[string](t, round, "walk")
		var before, again walkOf
		for _, w := range d.walks(shown[string](t, round, "bed")) {
			switch {
			case w.id == first:
				before = w
			case w.round == id:
				again = w
			}
		}
		if again.id == "" {
			continue // asked for and not yet walked
		}
		a := bed.Agree(before.person, again.person, bed.PairUp(before.pots, again.pots))
		if a.N < 5 || !a.Bias.Known || !a.Limits.Known || !a.ICC.Known {
			t.Errorf("round %s: %+v", id, a)
		}
		// A reading is good to 1.5 %, and one scout reads 4 % large: single pots differ by less than a tenth.
		if a.Limits.Low < -0.1 || a.Limits.High > 0.1 {
			t.Errorf("round %s: limits of agreement %+v", id, a.Limits)
		}
	}
}
