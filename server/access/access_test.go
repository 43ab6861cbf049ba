package access_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/testphone"
)

func open(t *testing.T) (*access.Gate, *time.Time, string) {
	t.Helper()
	path := filepath.Join(testphone.Folder(t), db.File)
	d, err := db.Open(t.Context(), db.Options{Path: path})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	clock := time.UnixMilli(1_000_000_000_000)
	return access.New(access.Options{DB: d, Now: func() time.Time { return clock }}), &clock, path
}

func pair(t *testing.T, g *access.Gate, role string) (access.Device, string) {
	t.Helper()
	code, _, err := g.Invite(t.Context(), access.Pairing{Person: "p", Name: "Wren", Role: role})
	if err != nil {
		t.Fatal(err)
	}
	d, token, err := g.Redeem(t.Context(), code, "", "here")
	if err != nil {
		t.Fatal(err)
	}
	return d, token
}

func TestATokenFindsItsDeviceAndNoOther(t *testing.T) {
	g, _, _ := open(t)
	a, tokenA := pair(t, g, access.Scout)
	b, tokenB := pair(t, g, access.Owner)
	for token, want := range map[string]access.Device{tokenA: a, tokenB: b} {
		if got, err := g.Identify(t.Context(), token); err != nil || got.ID != want.ID || got.Role != want.Role || got.Name != "Wren" {
			t.Errorf("got %+v, %v; want %+v", got, err, want)
		}
	}
	for _, token := range []string{"", "x", tokenA[1:], tokenA[:42] + "A", tokenA + "A"} {
		if _, err := g.Identify(t.Context(), token); !errors.Is(err, access.ErrNotPaired) {
			t.Errorf("%q gave %v", token, err)
		}
	}
}

func TestNeitherTokenNorCodeStandsInTheFile(t *testing.T) {
	g, _, path := open(t)
	_, token := pair(t, g, access.Scout)
	code, _, err := g.Invite(t.Context(), access.Pairing{Person: "p", Role: access.Scout})
	if err != nil {
		t.Fatal(err)
	}
	for _, end := range []string{"", "-wal"} {
		raw, err := os.ReadFile(path + end)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(raw, []byte(token)) || bytes.Contains(raw, []byte(code)) {
			t.Fatalf("%s holds a secret in clear", path+end)
		}
	}
}

func TestRevokingHoldsAtOnceAndNamesWhatItDoesNotFind(t *testing.T) {
	g, clock, _ := open(t)
	d, token := pair(t, g, access.Scout)
	if _, err := g.Identify(t.Context(), token); err != nil {
		t.Fatal(err)
	}
	if err := g.Revoke(t.Context(), d.ID, "boss"); err != nil {
		t.Fatal(err)
	}
	at := clock.UnixMilli()
	*clock = clock.Add(time.Hour)
	if got, err := g.Identify(t.Context(), token); err != nil || got.RevokedAt != at {
		t.Fatalf("got %+v, %v", got, err)
	}
	if err := g.Revoke(t.Context(), d.ID, "boss"); err != nil {
		t.Fatalf("revoking twice: %v", err)
	}
	if got, _ := g.Identify(t.Context(), token); got.RevokedAt != at {
		t.Fatal("revoking twice changed the time")
	}
	if err := g.Revoke(t.Context(), "nobody", "boss"); !errors.Is(err, access.ErrNoDevice) {
		t.Fatalf("got %v", err)
	}
}

func TestLastSeenIsKeptToTheMinute(t *testing.T) {
	g, clock, _ := open(t)
	_, token := pair(t, g, access.Scout)
	for _, step := range []struct {
		later time.Duration
		want  int64
	}{{30 * time.Second, 1_000_000_000_000}, {40 * time.Second, 1_000_000_070_000}, {20 * time.Second, 1_000_000_070_000}} {
		*clock = clock.Add(step.later)
		if _, err := g.Identify(t.Context(), token); err != nil {
			t.Fatal(err)
		}
		all, err := g.Devices(t.Context())
		if err != nil || all[0].SeenAt != step.want {
			t.Fatalf("seen at %d, want %d (%v)", all[0].SeenAt, step.want, err)
		}
	}
}

func TestARoleIsOneOfThree(t *testing.T) {
	g, _, _ := open(t)
	if _, _, err := g.Invite(t.Context(), access.Pairing{Person: "p", Role: "king"}); !errors.Is(err, access.ErrRole) {
		t.Fatalf("got %v", err)
	}
	if err := g.Enrol(t.Context(), access.Device{ID: "d", Person: "p", Role: "king"}); !errors.Is(err, access.ErrRole) {
		t.Fatalf("got %v", err)
	}
}

func TestAPhoneThatWasRevokedAfterTheBackupStaysShutOutWhenItIsRestored(t *testing.T) {
	g, clock, path := open(t)
	lost, token := pair(t, g, access.Scout)
	kept, other := pair(t, g, access.Owner)
	d, err := db.Open(t.Context(), db.Options{Path: path})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	backup := filepath.Join(t.TempDir(), "backup.db")
	if err := d.CopyTo(t.Context(), backup); err != nil {
		t.Fatal(err)
	}
	if err := g.Revoke(t.Context(), lost.ID, "boss"); err != nil {
		t.Fatal(err)
	}
	at := clock.UnixMilli()
	*clock = clock.Add(time.Hour)
	old, err := db.OpenAsItIs(backup)
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	if names, listed, err := access.StayRevoked(t.Context(), old, filepath.Dir(path)); err != nil || !listed || len(names) != 1 || names[0] != "Wren" {
		t.Fatalf("the operator is told %v, %v, %v", names, listed, err)
	}

	// The backup in the place of the database, with what lay beside it.
	dir := testphone.Folder(t)
	beside, err := os.ReadFile(filepath.Join(filepath.Dir(path), access.RevokedFile))
	raw, err2 := os.ReadFile(backup)
	if err := errors.Join(err, err2, os.WriteFile(filepath.Join(dir, db.File), raw, 0o600),
		os.WriteFile(filepath.Join(dir, access.RevokedFile), beside, 0o600)); err != nil {
		t.Fatal(err)
	}
	restored, err := db.Open(t.Context(), db.Options{Path: filepath.Join(dir, db.File)})
	if err != nil {
		t.Fatal(err)
	}
	defer restored.Close()
	again := access.New(access.Options{DB: restored, Now: func() time.Time { return *clock }})
	if err := again.HeedRevoked(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got, err := again.Identify(t.Context(), token); err != nil || got.RevokedAt != at {
		t.Fatalf("the lost phone came back as %+v, %v", got, err)
	}
	if got, err := again.Identify(t.Context(), other); err != nil || got.ID != kept.ID || got.RevokedAt != 0 {
		t.Fatalf("the other phone is %+v, %v", got, err)
	}
}

func TestAListOfRevokedPhonesThatCannotBeReadIsNotPassedOver(t *testing.T) {
	g, _, path := open(t)
	d, _ := pair(t, g, access.Scout)
	if err := g.HeedRevoked(t.Context()); err != nil {
		t.Fatalf("without any list: %v", err)
	}
	list := filepath.Join(filepath.Dir(path), access.RevokedFile)
	if _, err := os.Stat(list); !errors.Is(err, os.ErrNotExist) {
		t.Fatalf("a list of nobody was written: %v", err)
	}
	if err := g.Revoke(t.Context(), d.ID, "boss"); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(list, []byte("[{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := g.HeedRevoked(t.Context()); err == nil || !strings.Contains(err.Error(), "Phones page") {
		t.Fatalf("got %v", err)
	}
}
