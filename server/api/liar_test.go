package api_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

// copiesItsDisk is the server's whole disk as it is now, to be set back to later: nothing in it can tell that it was.
func (s *site) copiesItsDisk() (dir string) {
	s.Helper()
	dir = testphone.Folder(s.T)
	if err := s.db.CopyTo(s.Context(), filepath.Join(dir, db.File)); err != nil {
		s.Fatal(err)
	}
	for _, name := range []string{journal.SidecarFile, journal.HeadFile, journal.KeyFile} {
		raw, err := os.ReadFile(filepath.Join(s.db.Dir(), name))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), raw, 0o600)
		}
		if err != nil {
			s.Fatal(err)
		}
	}
	return dir
}

func (s *site) pull(p *paired, after int64, proof string) answer {
	s.Helper()
	return s.do(p.cookie, "GET", fmt.Sprintf("/api/pull?epoch=%s&after=%d&proof=%s", s.store.Epoch(), after, proof), "")
}

// handBackOf is what a phone that pulled a page can give back of it after a position.
func handBackOf(epoch string, page schema.Pull, after int64) schema.HandBack {
	h := schema.HandBack{Epoch: epoch}
	for i, item := range page.Items {
		if item.Position > after {
			h.Entries = append(h.Entries, item.Entry)
			h.Receipts = append(h.Receipts, schema.Receipt{Position: item.Position, Stamp: item.Stamp,
				Receipt: page.Receipts[i*schema.ReceiptChars:][:schema.ReceiptChars]})
		}
	}
	return h
}

func (s *site) handBack(p *paired, h schema.HandBack) (got schema.HandedBack) {
	s.Helper()
	r := s.do(p.cookie, "POST", "/api/in/lost", s.json(h))
	if r.status != 200 {
		s.Fatalf("handing back: %d %s", r.status, r.body)
	}
	r.read(s.T, &got)
	return got
}

func (s *site) pulled(p *paired) (page schema.Pull) {
	s.Helper()
	s.pull(p, 0, "").read(s.T, &page)
	return page
}

// setBack is a server whose disk is set back to before a scout's two last notes, and the page of the journal as another
// scout's phone pulled it before, which has them.
func setBack(t *testing.T) (s *site, desk, scout, other *paired, before schema.Pull, n testphone.Nursery) {
	was := newSite(t)
	desk, scout, other = was.pair("supervisor"), was.pair("scout"), was.pair("scout")
	n = was.plant(desk, scout)
	was.push(scout, scout.All(1))
	dir := was.copiesItsDisk()
	scout.See(n, 1, 1, 200, 40)
	scout.See(n, 2, 1, 210, 41)
	was.push(scout, scout.All(2))
	before = was.pulled(other)
	if len(before.Items) != 11 {
		t.Fatalf("%d notes were pulled", len(before.Items))
	}
	s = openSite(t, dir)
	s.clock = s.clock.Add(11 * 60e9)
	return s, desk, scout, other, before, n
}

func TestAScoutCannotWriteAsTheSupervisorByHandingBack(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair("supervisor"), s.pair("scout")
	s.plant(desk, scout)
	// What would go on where the supervisor's chain ends.
	desk.Note("person", "", "", map[string]any{"of": testphone.ID("a crony"), "name": "Crony", "role": "owner"})
	desk.Note("bed", "", testphone.ID("bed"), map[string]any{"of": testphone.ID("bed"), "name": "Renamed"})
	forged := schema.HandBack{Epoch: s.store.Epoch(), Entries: desk.Raw[8:]}
	genuine := handBackOf(s.store.Epoch(), s.pulled(scout), 0).Receipts
	for name, receipts := range map[string][]schema.Receipt{
		"none":             nil,
		"of other entries": genuine[:2],
		"guessed":          {{Position: 9, Receipt: "AAAAAA"}, {Position: 10, Receipt: "AAAAAA"}},
		"garbled":          {{Position: -1, Receipt: "\u0000\n"}, {Position: 1 << 62, Receipt: strings.Repeat("A", 10000)}},
	} {
		forged.Receipts = receipts
		if got := s.handBack(scout, forged); got.Merged != 0 {
			t.Errorf("receipts %s: %+v", name, got)
		}
	}
	if head := s.store.Head(); head != 8 {
		t.Errorf("the journal has %d notes, want the 8 that the desk sent itself", head)
	}
	held := s.held(desk)
	if len(held) != 2 || held[0].State != "review" || held[0].Faults[0].Code != schema.CodeNoReceipt {
		t.Errorf("the supervisor sees %+v", held)
	}
	// The supervisor's own phone goes on as if nothing had been.
	given := s.push(desk, desk.All(9))
	if given.Given[0].State != "merged" || given.Given[1].State != "merged" || given.High != 10 {
		t.Errorf("the supervisor's own push: %+v", given)
	}
}

func TestWhatIsHandedBackNeverMovesTheChainOfItsWriter(t *testing.T) {
	s, _, scout, other, before, _ := setBack(t)
	h := handBackOf(s.store.Epoch(), before, 9)
	if got := s.handBack(other, h); got.Merged != 2 {
		t.Fatalf("handed back: %+v", got)
	}
	if inc, high, _, err := s.store.Writer(t.Context(), scout.Device); err != nil || inc != 1 || high != 1 {
		t.Fatalf("the writer stands at %d.%d, %v", inc, high, err)
	}
	// A third phone gives the same back: they are here.
	if got := s.handBack(scout, h); got.Known != 2 {
		t.Fatalf("handed back again: %+v", got)
	}
	after := s.pulled(other)
	for i, item := range after.Items[9:] {
		if string(item.Entry) != string(before.Items[9+i].Entry) || item.Stamp != before.Items[9+i].Stamp {
			t.Errorf("it came back as %s %+v", item.Entry, item.Stamp)
		}
	}
	// Its own phone is found after all.
	given := s.push(scout, scout.All(2))
	if given.High != 3 || given.Given[0].State != "merged" || given.Given[0].Position != 10 || given.Given[1].Position != 11 {
		t.Fatalf("the writer's own push: %+v", given)
	}
	if s.store.Head() != 11 {
		t.Fatalf("the journal has %d notes", s.store.Head())
	}
	if again := s.push(scout, scout.All(2)); s.json(again.Given) != s.json(given.Given) {
		t.Errorf("pushed again: %+v", again)
	}
	found, err := journal.Verify(t.Context(), lite.Journal(s.db))
	if err != nil || len(found.Complaints) > 0 {
		t.Errorf("%v, %v", found.Complaints, err)
	}
}

func TestAnyPhoneButARevokedOneMayHandBackWhatTheServerLost(t *testing.T) {
	s, desk, _, other, before, _ := setBack(t)
	h := handBackOf("of before", before, 9)
	if r := s.do(other.cookie, "POST", "/api/in/lost", s.json(h)); r.status != 409 || problem(t, r).Code != "rewind" {
		t.Fatalf("in another epoch: %d %s", r.status, r.body)
	}
	h.Epoch = s.store.Epoch()
	if got := s.handBack(other, h); got.Merged != 2 {
		t.Fatalf("%+v", got)
	}
	var phones schema.PhonesView
	s.do(desk.cookie, "GET", "/api/views/phones", "").read(t, &phones)
	if len(phones.Incidents) != 1 || phones.Incidents[0].Code != "handed_back" || phones.Incidents[0].Device != other.Device {
		t.Fatalf("the supervisor sees %+v", phones.Incidents)
	}
	if r := s.do(desk.cookie, "POST", "/api/devices/"+other.Device+"/revoke", ""); r.status != 200 {
		t.Fatalf("revoking: %d %s", r.status, r.body)
	}
	if r := s.do(other.cookie, "POST", "/api/in/lost", s.json(h)); r.status != 403 {
		t.Fatalf("a revoked phone got %d", r.status)
	}
}

func TestAReceiptIsGoodForItsOwnEntryPositionAndStampAlone(t *testing.T) {
	s, desk, _, other, before, _ := setBack(t)
	sound := handBackOf(s.store.Epoch(), before, 9)
	spoil := func(name string, how func(h *schema.HandBack)) {
		t.Helper()
		h := sound
		h.Receipts = append([]schema.Receipt(nil), sound.Receipts...)
		how(&h)
		if got := s.handBack(other, h); got.Merged != 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
	spoil("another position", func(h *schema.HandBack) { h.Receipts[0].Position++; h.Receipts[1].Position-- })
	spoil("another stamp", func(h *schema.HandBack) { h.Receipts[0].Stamp.At++; h.Receipts[1].Stamp.Quality = "exacter" })
	spoil("changed places", func(h *schema.HandBack) { h.Receipts[0], h.Receipts[1] = h.Receipts[1], h.Receipts[0] })
	spoil("too few", func(h *schema.HandBack) { h.Receipts = nil })
	spoil("other bytes", func(h *schema.HandBack) {
		h.Entries = nil
		for _, raw := range sound.Entries {
			h.Entries = append(h.Entries, json.RawMessage(strings.Replace(string(raw), `"buds":4`, `"buds":3`, 1)))
		}
	})
	if head := s.store.Head(); head != 9 {
		t.Fatalf("the journal has %d notes", head)
	}
	if got := s.handBack(other, sound); got.Merged != 2 {
		t.Fatalf("and as it should be: %+v", got)
	}
	// What waited because nothing vouched for it, and is vouched for now, need not be decided on; the changed notes do.
	if held := s.held(desk); len(held) != 2 {
		t.Errorf("%d still wait: %+v", len(held), held)
	}
}

func TestACursorPastTheEndIsNotBelievedWithoutProof(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair("supervisor"), s.pair("scout")
	s.plant(desk, scout)
	epoch, page := s.store.Epoch(), s.pulled(scout)
	proofs := []string{"", "AAAAAA", journal.ProofOf(page.Items[0], page.Receipts[:6]), strings.Repeat("0", 38), strings.Repeat("x", 4000)}
	for i := range 100 {
		r := s.pull(scout, 1<<40+int64(i), proofs[i%len(proofs)])
		if r.status != 409 || problem(t, r).Code != "rewind" || problem(t, r).Epoch != epoch || *problem(t, r).ForkedAt != 8 {
			t.Fatalf("pull %d: %d %s", i, r.status, r.body)
		}
	}
	if s.store.Epoch() != epoch {
		t.Errorf("the epoch is another")
	}
	var phones schema.PhonesView
	s.do(desk.cookie, "GET", "/api/views/phones", "").read(t, &phones)
	if len(phones.Incidents) > 1 {
		t.Errorf("the supervisor sees %d incidents", len(phones.Incidents))
	}
}

func TestAPhoneThatProvesHowFarItReadBeginsOneEpochAndNoMoreWithinTheHour(t *testing.T) {
	s, _, _, other, before, _ := setBack(t)
	epoch := s.store.Epoch()
	proofOf := func(n int) string {
		return journal.ProofOf(before.Items[n-1], before.Receipts[(n-1)*schema.ReceiptChars:][:schema.ReceiptChars])
	}
	if r := s.pull(other, 11, proofOf(10)); problem(t, r).Epoch != epoch {
		t.Fatalf("the proof of another position was believed")
	}
	r := s.pull(other, 10, proofOf(10))
	began := s.store.Epoch()
	if r.status != 409 || problem(t, r).Epoch != began || began == epoch || *problem(t, r).ForkedAt != 9 {
		t.Fatalf("%d %s; the epoch was %s and is %s", r.status, r.body, epoch, began)
	}
	// The same proof again, and another one: the phone is led back, and the epoch stays.
	for _, n := range []int{10, 11} {
		if r := s.pull(other, int64(n), proofOf(n)); r.status != 409 || problem(t, r).Epoch != began || *problem(t, r).ForkedAt != 9 {
			t.Fatalf("%d %s", r.status, r.body)
		}
	}
	s.clock = s.clock.Add(2 * 60 * 60e9)
	if r := s.pull(other, 10, proofOf(10)); problem(t, r).Epoch != began {
		t.Errorf("an old proof begins an epoch every hour")
	}
	if r := s.pull(other, 11, proofOf(11)); problem(t, r).Epoch == began {
		t.Errorf("after an hour a proof of more begins none")
	}
}

func TestThePhonesPageNamesThePhoneThatReturnedNotesOfAnother(t *testing.T) {
	s, desk, _, other, before, _ := setBack(t)
	h := handBackOf(s.store.Epoch(), before, s.store.Head())
	h.Receipts = nil
	if got := s.handBack(other, h); got.Quarantined == 0 {
		t.Fatalf("%+v", got)
	}
	r := s.do(desk.cookie, "GET", "/api/views/phones", "")
	var v schema.PhonesView
	r.read(t, &v)
	name := ""
	for _, p := range v.Phones {
		if p.Device == other.Device {
			name = p.Name
		}
	}
	if len(v.QuarantinedByDevice) != 1 || name == "" || v.QuarantinedByDevice[0].DeviceName != name || v.QuarantinedByDevice[0].Way != "returned" {
		t.Errorf("%q returned notes, the page says %+v", name, v.QuarantinedByDevice)
	}
}
