package main

import (
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

func TestEachOfSeveralNurseriesHasItsOwnFolderAndBackups(t *testing.T) {
	c := &serveCommand{nurseryFlag: nurseryFlag{dataFlag{t.TempDir()}, testpg.Own(t), "Nord / Süd \xfc"}, NewSite: true, AllSites: true, MostOpen: 9, BackupTo: t.TempDir(), BackupStay: 1}
	a := atOneAddress(t, c)
	walked(t, a.served[0].parts)
	made, err := a.served[0].saver.now(t.Context())
	if want := filepath.Join(c.BackupTo, "1-nord-s-d"); err != nil || filepath.Dir(made.Path) != want {
		t.Errorf("a backup is at %s, %v; want it in %s", made.Path, err, want)
	}
	if _, err := os.Stat(filepath.Join(c.Data, "1-nord-s-d", "epochs.json")); err != nil {
		t.Error(err)
	}
	if name := a.sources()[0].Name; !utf8.ValidString(name) || name == "" {
		t.Errorf("its figures have the label %q", name)
	}
	// The folder of one nursery is not for several: its pictures and its list of who is out would be missed.
	single := t.TempDir()
	if err := os.Mkdir(filepath.Join(single, "photos"), 0o750); err != nil {
		t.Fatal(err)
	}
	inFile := t.TempDir()
	if err := os.WriteFile(filepath.Join(inFile, db.File), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	at := func(data, site string) nurseryFlag { return nurseryFlag{dataFlag{data}, c.Store, site} }
	for _, one := range []struct {
		serve serveCommand
		words string
	}{
		{serveCommand{nurseryFlag: at(single, ""), AllSites: true}, "another folder"},
		{serveCommand{nurseryFlag: at(inFile, ""), AllSites: true}, "another folder"},
		{serveCommand{nurseryFlag: at(t.TempDir(), "x"), AllSites: true}, "--all-sites"},
		{serveCommand{nurseryFlag: at(t.TempDir(), ""), AllSites: true, StartEmpty: true}, "--start-empty"},
		{serveCommand{nurseryFlag: nurseryFlag{dataFlag: dataFlag{t.TempDir()}}, AllSites: true}, "--store"},
		{serveCommand{nurseryFlag: at(t.TempDir(), ""), AllSites: true, NewSite: true}, "--site NAME"},
		{serveCommand{nurseryFlag: at(c.Data, ""), AllSites: true}, "in use by bedwalk serve"},
	} {
		one.serve.Listen = "127.0.0.1:0"
		if err := one.serve.Run(t.Context()); err == nil || !strings.Contains(err.Error(), one.words) {
			t.Errorf("%q does not say %q", err, one.words)
		}
	}
}

func aPhoneOfTwoCopiesIsLetIntoNeither(t *testing.T, a *address) {
	// As when a backup of one is copied beside it as another site.
	raw := sha256.Sum256([]byte("a token"))
	for _, one := range a.served {
		if err := pg.Access(one.parts.base).Write(t.Context(), func(tx access.Tx) error {
			return tx.Pair(access.Device{ID: "0e", Role: access.Supervisor}, sha256.Sum256(raw[:]))
		}); err != nil {
			t.Fatal(err)
		}
	}
	token := base64.RawURLEncoding.EncodeToString(raw[:])
	if status, why, _ := a.ask("GET", "/api/me", "", nil, "Cookie: bedwalk="+token); status != 503 || why != "two_nurseries" {
		t.Errorf("%d %s", status, why)
	}
	// Nor while the other could not be opened: notes would go to the copy. What was moved away is no other.
	half := nurseries{doors: a.doors, served: a.served[1:], sites: a.sites[1:]}
	for _, one := range []struct {
		why  error
		want int
	}{{errors.New("busy"), 503}, {pg.ErrMovedAway, 200}} {
		half.away = map[int32]error{a.sites[0]: one.why}
		server := httptest.NewServer(half.handler(nil))
		at := *a
		at.url = server.URL
		if status, why, _ := at.ask("GET", "/api/me", "", nil, "Cookie: bedwalk="+token); status != one.want {
			t.Errorf("one that is away (%v): %d %s", one.why, status, why)
		}
		server.Close()
	}
}
