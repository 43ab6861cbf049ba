package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
	"bedwalk/server/testpg"
)

func TestEachOfSeveralNurseriesHasItsOwnFolderAndBackups(t *testing.T) {
	c := &serveCommand{nurseryFlag: nurseryFlag{dataFlag{t.TempDir()}, testpg.Own(t), "Nord / Süd"}, NewSite: true, AllSites: true, MostOpen: 9, BackupTo: t.TempDir(), BackupStay: 1}
	a := atOneAddress(t, c)
	walked(t, a.served[0].parts)
	made, err := a.served[0].saver.now(t.Context())
	if want := filepath.Join(c.BackupTo, "1-nord-s-d"); err != nil || filepath.Dir(made.Path) != want {
		t.Errorf("a backup is at %s, %v; want it in %s", made.Path, err, want)
	}
	if _, err := os.Stat(filepath.Join(c.Data, "1-nord-s-d", "epochs.json")); err != nil {
		t.Error(err)
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
