package api_test

import (
	"bytes"
	"reflect"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// written is one kind of note, as a screen of some role makes it.
type written struct {
	name, kind, lot, bed string
	body                 any
	// scout is true where a scout's own screens make such a note.
	scout bool
}

// borders are notes on either side of what a scout may write; a map stands for a body that only sets some fields.
func borders(n testphone.Nursery, pot string) []written {
	type set = map[string]any
	id := testphone.ID
	lot, span := id("new lot"), id("new span")
	return []written{
		{"the nursery's name", "site", "", "", set{"of": n.Site, "name": "Renamed"}, false},
		{"a house", "house", "", "", set{"of": id("new house"), "name": "West"}, false},
		{"a bed", "bed", "", id("new bed"), set{"of": id("new bed"), "name": "W1", "rows": 5, "across": 5}, false},
		{"a person", "person", "", "", set{"of": id("new person"), "name": "Ida", "role": "owner"}, false},
		{"how a crop is judged", "profile", "", "", set{"of": n.Profile, "crop": "azalea", "head_tolerance_bp": 5000}, false},
		{"a booking", "booking", n.Lot, "", set{"of": id("booking"), "lot": n.Lot, "pots": 10}, false},
		{"asking for a second look", "round", "", n.Bed, set{"of": id("round"), "bed": n.Bed, "walk": n.Walk}, false},
		{"striking out how a crop is judged", "void", "", "", set{"names": id("x"), "records": []string{"profile:" + n.Profile}, "why": "mistake"}, false},
		{"striking out a second look", "void", "", n.Bed, set{"names": id("x"), "records": []string{"round:" + id("round")}, "why": "mistake"}, false},
		{"bringing a house back", "unvoid", "", "", set{"names": id("x"), "records": []string{"pot:" + pot, "house:" + n.House}}, false},

		{"answering a second look", "round", "", n.Bed, set{"of": id("round"), "done": true, "saw": []string{id("x")}}, true},
		{"a new lot", "lot", lot, "", set{"of": lot, "tag": "T-2", "crop": "azalea", "cultivar": "=Ruddy", "pot_mm": 130}, true},
		{"where a lot stands", "span", n.Lot, n.Bed, set{"of": span, "lot": n.Lot, "bed": n.Bed, "from_row": 1, "to_row": 2}, true},
		{"that a lot has left", "span", n.Lot, n.Bed, set{"of": n.Span, "ended": true}, true},
		{"striking out a new lot", "void", lot, "", set{"names": id("x"), "records": []string{"lot:" + lot}, "why": "mistake"}, true},
		{"a walk", "walk", "", n.Bed, set{"walk": id("walk 2"), "bed": n.Bed, "seed": 1, "planned": 5}, true},
		{"a blind walk", "walk", "", n.Bed, set{"walk": id("walk 3"), "bed": n.Bed, "seed": 0, "planned": 1, "round": id("round"), "places": []set{{"row": 1, "across": 1}}}, true},
		{"the end of a walk", "walk_end", "", n.Bed, set{"walk": n.Walk, "bed": n.Bed, "why": "enough"}, true},
		{"a pot", "observation", n.Lot, n.Bed, n.Pot(2, 2, 200, 40), true},
		{"a pot corrected", "correction", n.Lot, n.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: n.Pot(1, 1, 190, 40)}, true},
		{"a pot struck out", "void", n.Lot, n.Bed, set{"names": pot, "records": []string{"pot:" + pot}, "why": "twice"}, true},
		{"a pot brought back", "unvoid", n.Lot, n.Bed, set{"names": id("x"), "records": []string{"pot:" + pot}}, true},
		{"a pot passed by", "skip", "", n.Bed, set{"walk": n.Walk, "bed": n.Bed, "place": set{"row": 3, "across": 1}, "why": "wet"}, true},
		{"a loss", "count", n.Lot, "", set{"lot": n.Lot, "span": n.Span, "change": -2, "reason": "lost_dry"}, true},
		{"a recount", "recount", n.Lot, "", set{"lot": n.Lot, "span": n.Span, "counted": 47, "basis": set{}}, true},
		{"a move", "move", n.Lot, n.Bed, set{"why": "moved", "legs": []set{{"lot": n.Lot, "span": n.Span, "change": -5}, {"lot": n.Lot, "change": 5}}}, true},
		{"work on a lot", "event", n.Lot, "", set{"lot": n.Lot, "what": "clipped", "on": "2001-09-08"}, true},
		{"an application", "application", n.Lot, "", set{"lot": n.Lot, "beds": []string{n.Bed}, "purpose": "growth_regulator", "active": "made up", "ended_at": 1, "entry_hours": 12}, true},
		{"a reading", "reading", n.Lot, "", set{"lot": n.Lot, "ph_c": 550}, true},
		{"a rooting count", "rooting", n.Lot, "", set{"lot": n.Lot, "struck": 50, "rooted": 40, "on": "2001-09-08"}, true},
		{"words", "note", "", n.Bed, set{"bed": n.Bed, "words": "dry at the door"}, true},
		{"a photo", "photo", n.Lot, "", set{"lot": n.Lot, "hash": strings.Repeat("ab", 32), "bytes": 1000, "wide_px": 800, "high_px": 600, "type": "image/jpeg"}, true},
		{"a trouble settled", "matter", n.Lot, "", set{"of": id("matter"), "lot": n.Lot, "settled": true}, false},
		{"a task handed out", "task", n.Lot, "", set{"of": id("task"), "lot": n.Lot, "step": "into_cooler", "person": id("x")}, false},
		{"a task done by another", "task", n.Lot, "", set{"of": id("task"), "done_on": "2001-09-09", "done_by": id("x")}, false},
		{"a task struck out", "void", n.Lot, "", set{"names": id("x"), "records": []string{"task:" + id("task")}, "why": "mistake"}, false},
		{"a task ticked", "task", n.Lot, "", set{"of": id("task"), "done_on": "2001-09-09", "saw": []string{id("x")}}, true},
		{"a task's tick taken back", "task", n.Lot, "", set{"of": id("task"), "done_on": nil, "done_by": nil}, true},
		{"a logger's temperatures", "trace", "", "", set{"house": n.House, "source": strings.Repeat("ab", 32), "parts": []set{{"at": 1, "every_s": 900, "dc": []int{41, 38}}}}, false},
		{"how a cultivar is grown", "cultivar", "", "", set{"of": id("cultivar"), "of_crop": "azalea", "name": "White Star"}, false},
		{"a logger's temperatures struck out", "void", "", "", set{"names": n.House, "records": []string{"trace:" + n.House}, "why": "mistake"}, false},
		{"what a later version writes", "hologram", n.Lot, n.Bed, set{"glow": 7}, true},
	}
}

func TestAScoutWritesWhatItsScreensWriteAndWhatSupervisorsWriteIsQuarantined(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair("supervisor"), s.pair("scout")
	n := s.plant(desk, scout)
	pot := scout.See(n, 1, 1, 200, 40)
	s.push(scout, scout.All(1))
	for _, one := range borders(n, pot) {
		t.Run(one.name, func(t *testing.T) {
			scout.Note(one.kind, one.lot, one.bed, one.body)
			given := s.push(scout, scout.All(len(scout.Raw))).Given[0]
			if one.scout {
				if given.State != "merged" {
					t.Fatalf("a scout's note is %+v", given)
				}
				return
			}
			if given.State != "quarantined" || len(given.Faults) != 1 || given.Faults[0].Code != schema.CodeRole {
				t.Fatalf("got %+v, want it held for the role alone", given)
			}
			for _, words := range []string{"A scout's device may not", "a supervisor or the owner can", "The note is kept"} {
				if !strings.Contains(given.Faults[0].Sentence(), words) {
					t.Errorf("the fault lacks %q: %s", words, given.Faults[0].Sentence())
				}
			}
		})
	}
	kinds := map[string]bool{}
	for _, one := range borders(n, pot) {
		kinds[one.kind] = true
	}
	for _, k := range schema.Kinds() {
		if !kinds[k.Name] {
			t.Errorf("nothing is asked about who writes a %s", k.Name)
		}
	}
}

func TestASupervisorAndTheOwnerWriteEverything(t *testing.T) {
	for _, role := range []string{schema.RoleSupervisor, schema.RoleOwner} {
		t.Run(role, func(t *testing.T) {
			s := newSite(t)
			desk, scout := s.pair(role), s.pair("scout")
			n := s.plant(desk, scout)
			pot := scout.See(n, 1, 1, 200, 40)
			s.push(scout, scout.All(1))
			for _, one := range borders(n, pot) {
				desk.Note(one.kind, one.lot, one.bed, one.body)
			}
			for i, given := range s.push(desk, desk.All(9)).Given {
				if given.State != "merged" {
					t.Errorf("%s is %+v", borders(n, pot)[i].name, given)
				}
			}
		})
	}
}

func TestANoteThatIsNotForItsWriterDisturbsNothingElseAndFlowsWhenASupervisorAcceptsIt(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair("supervisor"), s.pair("scout")
	n := s.plant(desk, scout)
	other := testphone.ID("another bed")
	scout.Note("bed", "", other, map[string]any{"of": other, "name": "E2", "rows": 10, "across": 5})
	scout.See(n, 1, 1, 200, 40)
	// Words about the bed that is not there yet wait for it.
	scout.Note("note", "", other, schema.Note{Bed: other, Words: "empty"})
	scout.See(n, 2, 1, 200, 40)
	var states []string
	given := s.push(scout, scout.All(1)).Given
	for _, g := range given {
		states = append(states, g.State)
	}
	if want := []string{"merged", "quarantined", "merged", "quarantined", "merged"}; !slices.Equal(states, want) {
		t.Fatalf("the batch is %v, want %v", states, want)
	}
	if again := s.push(scout, scout.All(1)).Given[1]; again.State != "quarantined" || !reflect.DeepEqual(again.Faults, given[1].Faults) {
		t.Fatalf("a repeat was answered %+v", again)
	}
	pulled := func() (all [][]byte) {
		var page schema.Pull
		s.do(desk.cookie, "GET", "/api/pull?limit=100", "").read(t, &page)
		for _, item := range page.Items {
			all = append(all, item.Entry)
		}
		return all
	}
	has := func(raw []byte) bool {
		return slices.ContainsFunc(pulled(), func(one []byte) bool { return bytes.Equal(one, raw) })
	}
	if got := len(pulled()); got != 11 || has(scout.Raw[1]) {
		t.Fatalf("others pull %d notes, want the desk's 8, the walk and two pots", got)
	}
	held := s.held(desk)
	bed := held[slices.IndexFunc(held, func(h schema.QuarantinedView) bool { return h.Kind == "bed" })]
	if len(held) != 2 || bed.State != "quarantined" || bed.Faults[0].Code != schema.CodeRole || bed.DeviceName != "phone of a scout" {
		t.Fatalf("the supervisor sees %+v", held)
	}
	if r := s.do(scout.cookie, "POST", "/api/quarantine/"+bed.ID, `{"decision":"merge"}`); r.status != 403 {
		t.Fatalf("the scout accepted it: %d", r.status)
	}
	if r := s.do(desk.cookie, "POST", "/api/quarantine/"+bed.ID, `{"decision":"merge"}`); r.status != 200 {
		t.Fatalf("accepting it: %d %s", r.status, r.body)
	}
	if got := len(pulled()); got != 13 || !has(scout.Raw[1]) || !has(scout.Raw[3]) || len(s.held(desk)) != 0 {
		t.Fatalf("others pull %d notes, want the bed and the words about it too", got)
	}
	if r := s.do(scout.cookie, "POST", "/api/quarantine", `{"ids":["`+given[1].ID+`"]}`); !strings.Contains(string(r.body), `"state":"merged"`) {
		t.Fatalf("its writer gets %s", r.body)
	}
	if again := s.push(scout, scout.All(1)).Given[1]; again.State != "merged" || again.Position == 0 {
		t.Fatalf("a repeat was answered %+v", again)
	}
}

func TestWhatElseIsWrongWithANoteStandsBesideWhoMayWriteIt(t *testing.T) {
	s := newSite(t)
	scout := s.pair("scout")
	nobodys := testphone.ID("nobody's")
	scout.Note("profile", "", "", map[string]any{"of": testphone.ID("profile"), "min_pots": 1})
	scout.Note("booking", nobodys, "", map[string]any{"of": testphone.ID("booking"), "lot": nobodys})
	for i, code := range []schema.FaultCode{schema.CodeOutOfRange, schema.CodeUnknownLot} {
		faults := s.push(scout, scout.All(1)).Given[i].Faults
		if len(faults) != 2 || faults[0].Code != schema.CodeRole || faults[1].Code != code {
			t.Errorf("got %+v, want %s and %s", faults, schema.CodeRole, code)
		}
	}
	// The lot comes: that alone does not let a scout's booking in.
	scout.Note("lot", nobodys, "", map[string]any{"of": nobodys, "tag": "T-9"})
	s.push(scout, scout.All(1))
	if got := s.push(scout, scout.All(1)).Given[1].State; got != "quarantined" {
		t.Errorf("the booking is %s", got)
	}
}

func TestWhatASupervisorLetInIsLetInAgainWhenItIsHandedBack(t *testing.T) {
	was := newSite(t)
	desk, scout, other := was.pair("supervisor"), was.pair("scout"), was.pair("scout")
	was.plant(desk, scout)
	was.push(scout, scout.All(1))
	dir := was.copiesItsDisk()
	scout.Note("house", "", "", map[string]any{"of": testphone.ID("new house"), "name": "West"})
	was.push(scout, scout.All(2))
	held, err := was.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 1 {
		t.Fatalf("%+v, %v", held, err)
	}
	if err := was.store.Decide(t.Context(), held[0].N, true, desk.Person); err != nil {
		t.Fatal(err)
	}
	before := was.pulled(other)
	s := openSite(t, dir)
	if got := s.handBack(other, handBackOf(s.store.Epoch(), before, 9)); got.Merged != 1 {
		t.Errorf("handed back: %+v", got)
	}
	// Its writer sends it again, and learns where it is.
	if given := s.push(scout, scout.All(2)).Given; given[0].State != "merged" || given[0].Position != 10 {
		t.Errorf("sent again: %+v", given)
	}
}

func TestAScoutsOwnNotesForSupervisorsAreNoBetterForComingByAFileOrAsHandedBack(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair("supervisor"), s.pair("scout")
	s.plant(desk, scout)
	s.push(scout, scout.All(1))
	scout.Note("house", "", "", map[string]any{"of": testphone.ID("third house"), "name": "South"})
	if got := s.handBack(scout, schema.HandBack{Epoch: s.store.Epoch(), Entries: scout.Raw[1:]}); got.Quarantined != 1 {
		t.Errorf("handed back: %+v", got)
	}
	scout.Note("house", "", "", map[string]any{"of": testphone.ID("fourth house"), "name": "North"})
	file := s.json(map[string]any{"bedwalk": "unsent notes", "device": scout.Device, "aside": []any{}, "entries": scout.Raw[2:]})
	if r := s.do(desk.cookie, "POST", "/api/in/unsent", file); !strings.Contains(string(r.body), `"quarantined":1`) {
		t.Errorf("from a file of what was never here: %s", r.body)
	}
}
