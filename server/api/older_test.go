package api_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/backup"
	"bedwalk/server/testphone"
)

// older is what fixtures/release-0981956 has beside the data folder: the phones of that time.
type older struct {
	Head        int64           `json:"head"`
	Epoch       string          `json:"epoch"`
	Quarantined int             `json:"held"`
	Photo       string          `json:"photo"`
	Pulled      []schema.Pulled `json:"pulled"`
	Owner       string          `json:"owner"`
	Scout       string          `json:"scout"`
	Revoked     string          `json:"revoked"`
	// Pushes that these phones had not sent yet.
	ScoutPush   json.RawMessage `json:"scout_push"`
	RevokedPush json.RawMessage `json:"revoked_push"`
}

func TestDataOfAnOlderReleaseIsServedVerifiedAndWrittenOn(t *testing.T) {
	const fixture = "../../fixtures/release-0981956"
	var was older
	raw, err := os.ReadFile(filepath.Join(fixture, "phones.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &was); err != nil {
		t.Fatal(err)
	}
	folder := testphone.Folder(t)
	if err := os.CopyFS(folder, os.DirFS(filepath.Join(fixture, "data"))); err != nil {
		t.Fatal(err)
	}
	s := openSite(t, folder)
	verify := func(entries int64) {
		t.Helper()
		found, err := backup.Verify(t.Context(), s.db)
		if err != nil || int64(found.Entries) != entries {
			t.Fatalf("%d entries of %d are sound: %v, %q", found.Entries, entries, err, found.Complaints)
		}
	}
	verify(was.Head)
	if s.store.Epoch() != was.Epoch || s.store.Head() != was.Head {
		t.Fatalf("stands at %d of %s, want %d of %s", s.store.Head(), s.store.Epoch(), was.Head, was.Epoch)
	}
	var page schema.Pull
	s.do(was.Owner, "GET", "/api/pull?limit=1000", "").read(t, &page)
	if !slices.EqualFunc(page.Items, was.Pulled, samePulled) || len(page.Items) != int(was.Head) {
		t.Fatalf("%d notes are pulled, not the %d of then", len(page.Items), len(was.Pulled))
	}
	if r := s.do(was.Scout, "GET", "/api/photos/"+was.Photo, ""); r.status != 200 || len(r.body) != 67 {
		t.Fatalf("the picture: %d, %d bytes", r.status, len(r.body))
	}
	var phones schema.PhonesView
	s.do(was.Owner, "GET", "/api/views/phones", "").read(t, &phones)
	if len(phones.Quarantined) != was.Quarantined || len(phones.Phones) != 4 {
		t.Fatalf("%d notes wait of %d, of %d phones", len(phones.Quarantined), was.Quarantined, len(phones.Phones))
	}
	var given schema.PushAnswer
	for i := range 2 {
		s.do(was.Scout, "POST", "/api/push", string(was.ScoutPush)).read(t, &given)
		if given.High != 43 || len(given.Given) != 2 || given.Given[0].State != "merged" || given.Given[1].Position != was.Head+2 {
			t.Fatalf("push %d of a phone of then: %+v", i, given)
		}
	}
	s.do(was.Revoked, "POST", "/api/push", string(was.RevokedPush)).read(t, &given)
	if len(given.Given) != 1 || given.Given[0].State != "review" {
		t.Fatalf("push of a phone that was revoked then: %+v", given)
	}
	if r := s.do(was.Revoked, "GET", "/api/pull", ""); r.status != 403 {
		t.Fatalf("a phone that was revoked then pulls: %d", r.status)
	}
	s.do(was.Owner, "GET", "/api/pull?limit=1000", "").read(t, &page)
	digest, err := testphone.Digest("", was.Epoch, page.Items)
	if err != nil {
		t.Fatal(err)
	}
	var me schema.Me
	s.do(was.Owner, "GET", "/api/me", "").read(t, &me)
	digest.Device = me.Device
	var answer schema.DigestAnswer
	if s.do(was.Owner, "POST", "/api/digest", s.json(digest)).read(t, &answer); !answer.Equal {
		t.Fatalf("a phone that holds everything differs: %+v", answer)
	}
	held := phones.Quarantined[slices.IndexFunc(phones.Quarantined, func(h schema.QuarantinedView) bool { return h.Kind == "bed" })]
	if r := s.do(was.Owner, "POST", "/api/quarantine/"+held.ID, `{"decision":"merge"}`); r.status != 200 {
		t.Fatalf("merging what was held then: %d %s", r.status, r.body)
	}
	// The comment that waited for that bed comes with it.
	verify(was.Head + 4)
}
