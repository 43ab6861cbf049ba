package api_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/api"
)

func TestABackupIsMadeAtOnceForSupervisorsAndOwnersAndEndsTheTrouble(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("owner")
	s.plant(boss, scout)
	missing := func() (all []schema.AttentionItem) {
		var view schema.AttentionView
		s.do(boss.cookie, "GET", "/api/views/attention", "").read(t, &view)
		for _, item := range view.Items {
			if item.Code == schema.AttentionBackup {
				all = append(all, item)
			}
		}
		return all
	}
	if items := missing(); len(items) != 1 || !items[0].CanBackUp {
		t.Fatalf("before the backup: %+v", items)
	}
	if r := s.do(scout.cookie, "POST", "/api/backup", ""); r.status != 403 || !strings.Contains(string(r.body), "not_allowed") {
		t.Fatalf("a scout: %d %s", r.status, r.body)
	}
	var made schema.BackupMade
	r := s.do(boss.cookie, "POST", "/api/backup", "")
	if err := json.Unmarshal(r.body, &made); r.status != 200 || err != nil || made.Position != s.store.Head() || made.Bytes == 0 {
		t.Fatalf("an owner: %d %s, %v", r.status, r.body, err)
	}
	if items := missing(); len(items) != 0 {
		t.Fatalf("after the backup: %+v", items)
	}
	if _, err := os.Stat(filepath.Join(s.backups, made.Name)); err != nil {
		t.Fatal(err)
	}
}

func TestAServerWithoutAPlaceForBackupsSaysHowToGiveItOne(t *testing.T) {
	s := newSite(t, func(o *api.Options) { o.BackUp = nil })
	lead := s.pair("supervisor")
	r := s.do(lead.cookie, "POST", "/api/backup", "")
	if p := problem(t, r); r.status != 409 || p.Code != "no_backup_place" || !strings.Contains(p.Remedy, "--backup-to") {
		t.Fatalf("%d %s", r.status, r.body)
	}
}

func TestABackupThatFailsIsLoggedAndSaidWithoutWhatOnlyTheServersOwnerMayRead(t *testing.T) {
	s := newSite(t, func(o *api.Options) {
		o.BackUp = func(context.Context) (schema.BackupMade, error) {
			return schema.BackupMade{}, errors.New("secret-bucket is full")
		}
	})
	lead := s.pair("supervisor")
	r := s.do(lead.cookie, "POST", "/api/backup", "")
	if p := problem(t, r); r.status != 503 || p.Code != "backup_failed" || strings.Contains(string(r.body), "secret-bucket") {
		t.Fatalf("%d %s", r.status, r.body)
	}
	if !strings.Contains(s.log.String(), "secret-bucket is full") {
		t.Fatalf("the log says nothing of it: %s", s.log.String())
	}
}
