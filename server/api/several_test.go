package api_test

import (
	"context"
	"errors"
	"net/http/httptest"
	"strings"
	"testing"

	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/store/lite"
)

// among serves two nurseries at the address of the first, which is in front. A hash opens those whose gate knows it.
func among(t *testing.T, all ...*site) *site {
	t.Helper()
	several := api.Several{Nurseries: map[int32]api.Nursery{}}
	for i, one := range all {
		n := int32(i + 1)
		several.Front = append(several.Front, n)
		several.Nurseries[n] = api.Nursery{Handler: one.handler, Gate: one.gate, Present: one.db.Present, Ready: one.store.Ready, Knows: one.store.KnowsEpoch}
		one.gate.ShareGuesses(all[0].gate)
	}
	several.Open = func(_ context.Context, hash [32]byte) (found []int32, err error) {
		for i, one := range all {
			err = errors.Join(err, lite.Access(one.db).Read(t.Context(), func(snap access.Snap) error {
				_, token, bad := snap.Holder(hash)
				_, code, worse := snap.Invitation(hash)
				if token || code {
					found = append(found, int32(i+1))
				}
				return errors.Join(bad, worse)
			}))
		}
		return found, err
	}
	at := *all[0]
	at.http = httptest.NewServer(several.Handler())
	t.Cleanup(at.http.Close)
	return &at
}

func TestGuessesAreCountedForAllNurseriesAtAnAddressTogether(t *testing.T) {
	north, south := newSite(t), newSite(t)
	at := among(t, north, south)
	phone := north.pair("scout")
	right, _, err := south.gate.Invite(t.Context(), access.Pairing{Person: phone.Person, Name: "Wren", Role: access.Scout})
	if err != nil {
		t.Fatal(err)
	}
	ask := func(cookie, code string) answer {
		return at.do(cookie, "POST", "/api/pair", `{"code":"`+code+`","name":"phone"}`)
	}
	// A code of another nursery counts, or a phone could find out codes by that answer.
	if r := ask(phone.cookie, right); r.status != 409 || !strings.Contains(string(r.body), "other_nursery") {
		t.Fatalf("%d %s", r.status, r.body)
	}
	for range 9 {
		if r := ask("", "111-111-111"); r.status != 404 || !strings.Contains(string(r.body), "code_unknown") {
			t.Fatalf("a wrong code: %d %s", r.status, r.body)
		}
	}
	// From here on nothing tells a right code from a wrong one.
	for _, cookie := range []string{"", phone.cookie} {
		for _, code := range []string{right, "111-111-111"} {
			if r := ask(cookie, code); r.status != 429 || !strings.Contains(string(r.body), "too_many_guesses") {
				t.Errorf("%s with the cookie %q: %d %s", code, cookie, r.status, r.body)
			}
		}
	}
}

func TestCodesThatAreGuessedAtOnceAreAnsweredAsOneAfterAnother(t *testing.T) {
	north, south := newSite(t), newSite(t)
	phone := north.pair("scout")
	code, _, err := south.gate.Invite(t.Context(), access.Pairing{Person: phone.Person, Name: "Wren", Role: access.Scout})
	if err != nil {
		t.Fatal(err)
	}
	token, _ := access.TokenDoor(strings.TrimPrefix(phone.cookie, "bedwalk="))
	several := api.Several{Front: []int32{1}, Nurseries: map[int32]api.Nursery{}}
	for i, one := range []*site{north, south} {
		several.Nurseries[int32(i+1)] = api.Nursery{Handler: one.handler, Gate: one.gate, Present: one.db.Present, Ready: one.store.Ready, Knows: one.store.KnowsEpoch}
	}
	several.Open = func(_ context.Context, hash [32]byte) ([]int32, error) {
		if hash == token {
			return []int32{1}, nil
		}
		// Others were waiting for the same answer.
		for range 10 {
			north.gate.Guessed("127.0.0.1")
		}
		return []int32{2}, nil
	}
	at := *north
	at.http = httptest.NewServer(several.Handler())
	defer at.http.Close()
	if r := at.do(phone.cookie, "POST", "/api/pair", `{"code":"`+code+`","name":"phone"}`); r.status != 429 || !strings.Contains(string(r.body), "too_many_guesses") {
		t.Errorf("%d %s", r.status, r.body)
	}
}
