package access_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

func open(t *testing.T) (*access.Gate, *time.Time, string) {
	t.Helper()
	path := filepath.Join(testphone.Ready(t), db.File)
	d, err := db.Open(t.Context(), db.Options{Path: path})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	clock := time.UnixMilli(1_000_000_000_000)
	return access.New(access.Options{Store: lite.Access(d), Dir: d.Dir(), Now: func() time.Time { return clock }}), &clock, path
}

func pair(t *testing.T, g *access.Gate, role string) (access.Device, string) {
	t.Helper()
	code, _, err := g.Invite(t.Context(), access.Pairing{Person: "p", Name: "Wren", Role: role})
	if err != nil {
		t.Fatal(err)
	}
	d, token, err := g.Redeem(t.Context(), access.Claim{Code: code, From: "here"})
	if err != nil {
		t.Fatal(err)
	}
	return d, token
}

// boss is a supervisor who revokes scouts.
var boss = access.Device{ID: "boss", Person: "boss", Role: access.Supervisor}

func TestATokenFindsItsDeviceAndNoOther(t *testing.T) {
	g, _, _ := open(t)
	a, tokenA := pair(t, g, access.Scout)
	b, tokenB := pair(t, g, access.Owner)
	for token, want := range map[string]access.Device{tokenA: a, tokenB: b} {
		if got, err := g.Identify(t.Context(), token); err != nil || got.ID != want.ID || got.Role != want.Role || got.Name != "Wren" {
			t.Errorf("got %+v, %v; want %+v", got, err, want)
		}
	}
	wrong := []string{"", "x", tokenA[1:], tokenA + "A"}
	// Every other last character, also those that differ only in the two bits which no token uses.
	for _, last := range "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_" {
		if other := tokenA[:42] + string(last); other != tokenA {
			wrong = append(wrong, other)
		}
	}
	for _, token := range wrong {
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
	if err := g.Revoke(t.Context(), d.ID, boss); err != nil {
		t.Fatal(err)
	}
	at := clock.UnixMilli()
	*clock = clock.Add(time.Hour)
	if got, err := g.Identify(t.Context(), token); err != nil || got.RevokedAt != at {
		t.Fatalf("got %+v, %v", got, err)
	}
	if err := g.Revoke(t.Context(), d.ID, boss); err != nil {
		t.Fatalf("revoking twice: %v", err)
	}
	if got, _ := g.Identify(t.Context(), token); got.RevokedAt != at {
		t.Fatal("revoking twice changed the time")
	}
	if err := g.Revoke(t.Context(), "nobody", boss); !errors.Is(err, access.ErrNoDevice) {
		t.Fatalf("got %v", err)
	}
}

func TestAnOwnersDeviceIsRevokedByAnOwnerAloneAndNeverTheLast(t *testing.T) {
	g, _, _ := open(t)
	first, _ := pair(t, g, access.Owner)
	supervisor, _ := pair(t, g, access.Supervisor)
	if err := g.Revoke(t.Context(), first.ID, supervisor); !errors.Is(err, access.ErrOwners) {
		t.Fatalf("a supervisor: %v", err)
	}
	if err := g.Revoke(t.Context(), first.ID, first); !errors.Is(err, access.ErrLastOwner) {
		t.Fatalf("the last owner: %v", err)
	}
	second, token := pair(t, g, access.Owner)
	if err := g.Revoke(t.Context(), first.ID, second); err != nil {
		t.Fatal(err)
	}
	// The first was let in before that, and revokes the second in the same moment.
	third, _ := pair(t, g, access.Owner)
	if err := g.Revoke(t.Context(), second.ID, first); !errors.Is(err, access.ErrOwners) {
		t.Fatalf("an owner who was revoked just now: %v", err)
	}
	if d, err := g.Identify(t.Context(), token); err != nil || d.RevokedAt != 0 {
		t.Fatalf("the owner is %+v, %v", d, err)
	}
	if err := g.Revoke(t.Context(), supervisor.ID, third); err != nil {
		t.Fatal(err)
	}
}

func TestADeviceWhoseAnswerWasLostGetsItsTokenAgainAndNobodyElseDoes(t *testing.T) {
	g, clock, path := open(t)
	invite := func() string {
		code, _, err := g.Invite(t.Context(), access.Pairing{Person: "p", Name: "Wren", Role: access.Scout})
		if err != nil {
			t.Fatal(err)
		}
		return code
	}
	code, secret, other := invite(), strings.Repeat("ab", 32), strings.Repeat("cd", 32)
	ask := access.Claim{Code: code, Name: "phone", From: "here", Secret: secret}
	d, token, err := g.Redeem(t.Context(), ask)
	if err != nil {
		t.Fatal(err)
	}
	for range 20 {
		if again, same, err := g.Redeem(t.Context(), ask); err != nil || again.ID != d.ID || same != token {
			t.Fatalf("asking again gave %+v, the same token: %t, %v", again, same == token, err)
		}
	}
	if found, err := g.Identify(t.Context(), token); err != nil || found.ID != d.ID {
		t.Fatalf("the token finds %+v, %v", found, err)
	}
	if all, err := g.Devices(t.Context()); err != nil || len(all) != 1 {
		t.Fatalf("there are %d devices, %v", len(all), err)
	}
	refused := func(ask access.Claim, want error) {
		t.Helper()
		if _, got, err := g.Redeem(t.Context(), ask); !errors.Is(err, want) || got != "" {
			t.Fatalf("got %v", err)
		}
	}
	for _, stranger := range []string{"", other} {
		refused(access.Claim{Code: code, From: "there", Secret: stranger}, access.ErrUsed)
	}
	for _, end := range []string{"", "-wal"} {
		raw, err := os.ReadFile(path + end)
		if err != nil || bytes.Contains(raw, []byte(secret)) || bytes.Contains(raw, []byte(token)) {
			t.Fatalf("%s holds a secret in clear, or %v", path+end, err)
		}
	}
	// Of an older app, which sends no secret, the code is spent.
	old := access.Claim{Code: invite(), From: "here"}
	if _, _, err := g.Redeem(t.Context(), old); err != nil {
		t.Fatal(err)
	}
	refused(old, access.ErrUsed)
	if err := g.Revoke(t.Context(), d.ID, boss); err != nil {
		t.Fatal(err)
	}
	refused(ask, access.ErrUsed)
	late := access.Claim{Code: invite(), From: "here", Secret: other}
	if _, _, err := g.Redeem(t.Context(), late); err != nil {
		t.Fatal(err)
	}
	*clock = clock.Add(access.PairingLife + time.Second)
	refused(late, access.ErrUsed)
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
	if err := g.Revoke(t.Context(), lost.ID, boss); err != nil {
		t.Fatal(err)
	}
	at := clock.UnixMilli()
	*clock = clock.Add(time.Hour)
	old, err := db.OpenAsItIs(backup)
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	if names, listed, err := access.StayRevoked(t.Context(), lite.Access(old), filepath.Dir(path)); err != nil || !listed || len(names) != 1 || names[0] != "Wren" {
		t.Fatalf("the operator is shown %v, %v, %v", names, listed, err)
	}

	// The backup replaces the database; the files beside it stay.
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
	again := access.New(access.Options{Store: lite.Access(restored), Dir: restored.Dir(), Now: func() time.Time { return *clock }})
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
	if err := g.Revoke(t.Context(), d.ID, boss); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(list, []byte("[{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := g.HeedRevoked(t.Context()); err == nil || !strings.Contains(err.Error(), "Phones page") {
		t.Fatalf("got %v", err)
	}
}

func TestCodesThatComeAtOnceAreCountedBeforeTheyAreLookedAt(t *testing.T) {
	g, _, _ := open(t)
	foreign, _, _ := open(t)
	const many = 40
	errs := make([]error, many)
	var all sync.WaitGroup
	for i := range errs {
		code, _, err := foreign.Invite(t.Context(), access.Pairing{Person: "p", Name: "Wren", Role: access.Scout})
		if err != nil {
			t.Fatal(err)
		}
		all.Go(func() { _, _, errs[i] = g.Redeem(t.Context(), access.Claim{Code: code, From: "there"}) })
	}
	all.Wait()
	looked := 0
	for _, err := range errs {
		if errors.Is(err, access.ErrNoCode) {
			looked++
		} else if !errors.Is(err, access.ErrGuessing) {
			t.Error(err)
		}
	}
	if looked != 10 {
		t.Errorf("%d of %d codes at once were looked up, want 10", looked, many)
	}
	// Right codes cost nothing, however many.
	for range 12 {
		pair(t, g, access.Scout)
	}
}
