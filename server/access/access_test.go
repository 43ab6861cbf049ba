package access_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
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
