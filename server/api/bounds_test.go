package api_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/api"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
	"bedwalk/sync/journal"
)

// A phone that sends a hundred digests with lots of long names filled the page that it would be revoked on.
func TestDigestsOfADishonestPhoneDoNotFillThePhonesPage(t *testing.T) {
	s := newSite(t)
	desk, liar := s.pair("owner"), s.pair("scout")
	s.plant(desk, liar)
	s.push(liar, liar.All(1))
	tell := func(position int, lot string) answer {
		d := schema.Digest{Device: liar.Device, Epoch: s.store.Epoch(), Position: int64(position)}
		for i := range 5 {
			d.Lots = append(d.Lots, schema.LotDigest{Lot: fmt.Sprintf("%s%d", lot, i), Count: 1, Sum: journal.Sum{}.String()})
		}
		return s.do(liar.cookie, "POST", "/api/digest", s.json(d))
	}
	if r := tell(1, strings.Repeat("x", 100_000)); r.status != 400 {
		t.Errorf("lots with names of 100,000 letters were answered %d", r.status)
	}
	told := 0
	for told < 8 {
		told++
		if r := tell(told, strings.Repeat("0", 31)); r.status != 200 {
			t.Fatalf("an unequal digest was answered %d %s", r.status, r.body)
		}
	}
	raw := s.do(desk.cookie, "GET", "/api/views/phones", "")
	if len(raw.body) > 20_000 {
		t.Errorf("the phones' page has %d bytes", len(raw.body))
	}
	var view schema.PhonesView
	raw.read(t, &view)
	if len(view.Incidents) != 1 || view.IncidentsAll != 1 {
		t.Fatalf("%d incidents are shown, of %d", len(view.Incidents), view.IncidentsAll)
	}
	one := view.Incidents[0]
	if one.Count != int64(told) || one.Device != liar.Device || one.FirstAt == 0 || one.At < one.FirstAt {
		t.Fatalf("shown %+v, want it counted %d times", one, told)
	}
	seen := s.json(schema.IncidentSeen{Device: one.Device, Code: one.Code, At: one.At})
	if r := s.do(liar.cookie, "POST", "/api/incidents/seen", seen); r.status != 403 {
		t.Fatalf("a scout put trouble away: %d", r.status)
	}
	if r := s.do(desk.cookie, "POST", "/api/incidents/seen", seen); r.status != 200 {
		t.Fatalf("%d %s", r.status, r.body)
	}
	s.do(desk.cookie, "GET", "/api/views/phones", "").read(t, &view)
	if len(view.Incidents) != 0 {
		t.Fatalf("put away, but shown: %+v", view.Incidents)
	}
	if r := s.do(desk.cookie, "POST", "/api/incidents/seen", seen); r.status != 404 {
		t.Fatalf("putting away twice was answered %d", r.status)
	}
	tell(told+1, strings.Repeat("1", 31))
	s.do(desk.cookie, "GET", "/api/views/phones", "").read(t, &view)
	if len(view.Incidents) != 1 || view.Incidents[0].Count != 1 {
		t.Fatalf("it came back, but is shown as %+v", view.Incidents)
	}
}

// broken are views with a mistake in one of them.
type broken struct{ api.Views }

func (broken) Lots(context.Context, view.LotsAsk) (schema.LotsPage, error) {
	var nothing map[string]int
	nothing["a mistake"]++
	return schema.LotsPage{}, nil
}

func TestAPanicInAHandlerIsAnsweredLoggedAndEndsNothing(t *testing.T) {
	s := newSite(t, func(o *api.Options) { o.Views = broken{o.Views} })
	boss := s.pair("supervisor")
	if r := s.do(boss.cookie, "GET", "/api/views/lots", ""); r.status != 500 || problem(t, r).Code != "internal" || strings.Contains(string(r.body), "mistake") {
		t.Errorf("answered %d %s", r.status, r.body)
	}
	if log := s.log.String(); !strings.Contains(log, "assignment to entry in nil map") || !strings.Contains(log, "bounds_test.go") {
		t.Errorf("the log does not say where: %s", log)
	}
	if r := s.do(boss.cookie, "GET", "/api/views/beds", ""); r.status != 200 {
		t.Errorf("the next request is answered %d", r.status)
	}
}

// A digest of 11,000 lots met the limit of a push's body, and its phone was never compared again.
func TestADigestOfAsManyLotsAsThereMayBeIsAnswered(t *testing.T) {
	s := newSite(t)
	phone := s.pair("scout")
	tell := func(lots int) answer {
		d := schema.Digest{Device: phone.Device, Epoch: s.store.Epoch()}
		for i := range lots {
			id := testphone.ID(fmt.Sprint("lot ", i))
			d.Lots = append(d.Lots, schema.LotDigest{Lot: id, Count: 400 + i%100, Sum: testphone.ID("sum of " + id)})
		}
		return s.do(phone.cookie, "POST", "/api/digest", zipped(s.json(d)), "Content-Encoding: gzip")
	}
	var told schema.DigestAnswer
	r := tell(100_000)
	if r.status != 200 {
		t.Fatalf("100,000 lots were answered %d %s", r.status, r.body)
	}
	if r.read(t, &told); told.Equal || len(told.Differ) != schema.MaxDiffer || !told.More {
		t.Errorf("answered %v with %d lots", told.Equal, len(told.Differ))
	}
	if r := tell(100_001); r.status != 400 || !strings.Contains(string(r.body), "lots") {
		t.Errorf("a lot too many was answered %d %.200s", r.status, r.body)
	}
	bomb := zipped(strings.Repeat(" ", 20<<20))
	if r := s.do(phone.cookie, "POST", "/api/digest", bomb, "Content-Encoding: gzip"); r.status != 413 || !strings.Contains(string(r.body), "inflated_too_large") {
		t.Errorf("a bomb was answered %d %.200s", r.status, r.body)
	}
}
