package access_test

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"bedwalk/server/access"
)

func TestAReadingKeyIsKnownByItsHashAloneAndByEveryCharacter(t *testing.T) {
	g, clock, path := open(t)
	pair(t, g, access.Owner)
	id, key, err := g.MakeKey(t.Context(), access.Reader{Name: "office", Table: "lot", MadeBy: "p"})
	if err != nil || !access.IsKey(key) {
		t.Fatalf("%q, %v", key, err)
	}
	r, err := g.Reader(t.Context(), key, "there")
	if err != nil || r.ID != id || r.Name != "office" || r.Table != "lot" || r.People || r.UsedAt != clock.UnixMilli() {
		t.Fatalf("got %+v, %v", r, err)
	}
	for i := range key {
		other := "a"
		if key[i] == 'a' {
			other = "b"
		}
		wrong := key[:i] + other + key[i+1:]
		if _, err := g.Reader(t.Context(), wrong, fmt.Sprint(i)); !errors.Is(err, access.ErrKeyMistyped) {
			t.Errorf("with another character %d: %v", i, err)
		}
	}
	for _, file := range []string{path, path + "-wal"} {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(raw), key) || strings.Contains(string(raw), key[len("bedwalk_table_"):]) {
			t.Errorf("%s has the key", file)
		}
	}
}

func TestWhenAReadingKeyWasUsedIsKeptToTheMinute(t *testing.T) {
	g, clock, _ := open(t)
	pair(t, g, access.Supervisor)
	_, key, err := g.MakeKey(t.Context(), access.Reader{Name: "office", MadeBy: "p"})
	if err != nil {
		t.Fatal(err)
	}
	first := clock.UnixMilli()
	for _, step := range []struct {
		later time.Duration
		want  int64
	}{{0, first}, {59 * time.Second, first}, {time.Second, first + 60_000}} {
		*clock = clock.Add(step.later)
		if _, err := g.Reader(t.Context(), key, "there"); err != nil {
			t.Fatal(err)
		}
		all, err := g.Readers(t.Context())
		if err != nil || len(all) != 1 || all[0].UsedAt != step.want {
			t.Errorf("after %s: %+v, %v; want %d", step.later, all, err, step.want)
		}
	}
}

func TestAReadingKeyEndsWithTheAccessOfWhoeverMadeIt(t *testing.T) {
	g, _, _ := open(t)
	first, _ := pair(t, g, access.Supervisor)
	second, _ := pair(t, g, access.Supervisor)
	pair(t, g, access.Scout)
	_, key, err := g.MakeKey(t.Context(), access.Reader{Name: "office", MadeBy: "p"})
	if err != nil {
		t.Fatal(err)
	}
	if err := g.Revoke(t.Context(), first.ID, boss); err != nil {
		t.Fatal(err)
	}
	if _, err := g.Reader(t.Context(), key, "there"); err != nil {
		t.Errorf("with another supervisor's device: %v", err)
	}
	if err := g.Revoke(t.Context(), second.ID, boss); err != nil {
		t.Fatal(err)
	}
	// The person still has a scout's phone.
	if _, err := g.Reader(t.Context(), key, "there"); !errors.Is(err, access.ErrKeyOrphaned) {
		t.Errorf("without any: %v", err)
	}
}

func TestThereAreOnlySoManyReadingKeysAndNoTwoOfOneName(t *testing.T) {
	g, _, _ := open(t)
	var first string
	for i := range 100 {
		id, _, err := g.MakeKey(t.Context(), access.Reader{Name: fmt.Sprint(i), MadeBy: "p"})
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = id
		}
	}
	for name, want := range map[string]error{"100": access.ErrKeysFull, "0": access.ErrKeyName} {
		if _, _, err := g.MakeKey(t.Context(), access.Reader{Name: name, MadeBy: "p"}); !errors.Is(err, want) {
			t.Errorf("a key %s: %v, want %v", name, err, want)
		}
	}
	if err := g.RevokeKey(t.Context(), first, "p"); err != nil {
		t.Fatal(err)
	}
	if _, _, err := g.MakeKey(t.Context(), access.Reader{Name: "0", MadeBy: "p"}); err != nil {
		t.Errorf("after one was revoked: %v", err)
	}
	if err := g.RevokeKey(t.Context(), "none", "p"); !errors.Is(err, access.ErrNoKey) {
		t.Errorf("revoking none: %v", err)
	}
}
