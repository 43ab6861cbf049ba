package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
	"bedwalk/server/testphone"
)

// address is where several nurseries are served in a test.
type address struct {
	*testing.T
	*nurseries
	url string
	// body is that of the last answer.
	body []byte
	// command is what they were opened with.
	command *serveCommand
}

// atOneAddress serves every nursery of a database.
func atOneAddress(t *testing.T, c *serveCommand) *address {
	t.Helper()
	all, err := c.openAll(t.Context(), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { all.Close() })
	all.answer(api.Options{Build: "test"})
	server := httptest.NewServer(all.handler(nil))
	t.Cleanup(func() {
		all.hush()
		server.Close()
	})
	return &address{T: t, nurseries: all, url: server.URL, command: c}
}

// twoNurseries are north, with a walk, and south, with no more than the pots' places, in a database of their own.
func twoNurseries(t *testing.T) *address {
	t.Helper()
	c := &serveCommand{nurseryFlag: nurseryFlag{dataFlag{t.TempDir()}, testpg.Own(t), "north"}, NewSite: true, AllSites: true, MostOpen: 9}
	for _, name := range []string{"north", "south"} {
		d, err := pg.OpenDoors(t.Context(), pg.Options{URL: c.Store, Site: name, New: true})
		if err != nil {
			t.Fatal(err)
		}
		d.Close()
	}
	a := atOneAddress(t, c)
	walked(t, a.served[0].parts)
	if err := (&sharer{a.served[1].shared, a.served[1].parts}).push(t.Context(), firstOf("b"), 1); err != nil {
		t.Fatal(err)
	}
	return a
}

// ask sends a request and reads the answer into whatever is given. Headers are "Name: value".
func (a *address) ask(method, path, body string, into any, headers ...string) (status int, code string, cookie string) {
	a.Helper()
	request, err := http.NewRequestWithContext(a.Context(), method, a.url+path, strings.NewReader(body))
	if err != nil {
		a.Fatal(err)
	}
	if body != "" {
		request.Header.Set("Content-Type", "application/json")
	}
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		request.Header.Set(name, value)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		a.Fatal(err)
	}
	defer response.Body.Close()
	raw, err := io.ReadAll(response.Body)
	if err != nil {
		a.Fatal(err)
	}
	a.body = raw
	var problem schema.Problem
	if response.StatusCode >= 400 && json.Unmarshal(raw, &problem) != nil {
		a.Fatalf("%s %s: %d %s", method, path, response.StatusCode, raw)
	}
	if into != nil && response.StatusCode == 200 {
		if err := json.Unmarshal(raw, into); err != nil {
			a.Fatalf("%s %s: %v of %s", method, path, err, raw)
		}
	}
	cookie, _, _ = strings.Cut(response.Header.Get("Set-Cookie"), ";")
	return response.StatusCode, problem.Code, cookie
}

func (a *address) invite(nursery int, role string) string {
	a.Helper()
	code, _, err := a.served[nursery].parts.gate.Invite(a.Context(), access.Pairing{Person: testphone.ID("person of " + role), Name: role, Role: role})
	if err != nil {
		a.Fatal(err)
	}
	return code
}

// pair gives the cookie of a new phone, as a header.
func (a *address) pair(nursery int, role string) (me schema.Me, cookie string) {
	a.Helper()
	status, code, cookie := a.ask("POST", "/api/pair", `{"code":"`+a.invite(nursery, role)+`","name":"phone"}`, &me)
	if status != 200 {
		a.Fatalf("pairing: %d %s", status, code)
	}
	return me, "Cookie: " + cookie
}

// TestNurseriesAtOneAddressAreApart goes through all of them with one pair of nurseries.
func TestNurseriesAtOneAddressAreApart(t *testing.T) {
	a := twoNurseries(t)
	for _, one := range []struct {
		name string
		run  func(*testing.T, *address)
	}{
		{"a phone reads its own nursery, whatever it asks", aPhoneReadsItsOwnNurseryWhateverItAsks},
		{"a picture of one nursery is not another's", aPictureOfOneNurseryIsNotAnothers},
		{"a code of another nursery takes no phone away", aCodeOfAnotherNurseryTakesNoPhoneAway},
		{"a reading key opens its own nursery", aReadingKeyOpensItsOwnNursery},
		{"a socket hears of its own nursery alone", aSocketHearsOfItsOwnNurseryAlone},
		{"a group sees the nurseries of its link and no other", aGroupSeesTheNurseriesOfItsLinkAndNoOther},
		{"a phone of two copies is let into neither", aPhoneOfTwoCopiesIsLetIntoNeither},
	} {
		t.Run(one.name, func(t *testing.T) {
			own := *a
			own.T = t
			one.run(t, &own)
		})
	}
}

func aPhoneReadsItsOwnNurseryWhateverItAsks(t *testing.T, a *address) {
	for i, one := range a.served {
		me, cookie := a.pair(i, access.Owner)
		if me.Epoch != one.parts.store.Epoch() || me.Head != one.parts.store.Head() {
			t.Errorf("nursery %d: paired with %+v", i, me)
		}
		other := a.served[1-i].parts.store
		var page schema.Pull
		for _, epoch := range []string{one.parts.store.Epoch(), other.Epoch(), ""} {
			status, code, _ := a.ask("GET", "/api/pull?after=0&epoch="+epoch, "", &page, cookie)
			switch {
			case epoch == other.Epoch() && status == 200:
				t.Errorf("nursery %d: the other's epoch is answered with %d notes", i, len(page.Items))
			case epoch != other.Epoch() && (status != 200 || int64(len(page.Items)) != one.parts.store.Head() || page.Epoch != one.parts.store.Epoch()):
				t.Errorf("nursery %d: %d %s, %d notes of %s", i, status, code, len(page.Items), page.Epoch)
			}
		}
		var beds schema.BedsView
		if status, code, _ := a.ask("GET", "/api/views/beds", "", &beds, cookie); status != 200 || beds.Head != one.parts.store.Head() {
			t.Errorf("nursery %d: %d %s, beds at %d", i, status, code, beds.Head)
		}
		var phones schema.PhonesView
		if status, code, _ := a.ask("GET", "/api/views/phones", "", &phones, cookie); status != 200 || len(phones.Phones) != 1 {
			t.Errorf("nursery %d: %d %s, %d phones", i, status, code, len(phones.Phones))
		}
	}
	// Whoever shows nothing, or what nobody was given, is as much a stranger as at one nursery alone.
	unknown := "Cookie: bedwalk=" + base64.RawURLEncoding.EncodeToString(make([]byte, 32))
	for _, one := range []struct {
		path, header string
		want         int
	}{
		{"/api/me", "X: y", 204}, {"/api/me", unknown, 401}, {"/api/me", "Cookie: bedwalk=x", 401}, {"/api/pull", "X: y", 401}, {"/api/views/beds", unknown, 401},
		{"/healthz", "X: y", 200}, {"/readyz", "X: y", 200}, {"/readyz", unknown, 200}, {"/api/nothing", "X: y", 404},
	} {
		if status, code, _ := a.ask("GET", one.path, "", nil, one.header); status != one.want {
			t.Errorf("%s with %s: %d %s, want %d", one.path, one.header, status, code, one.want)
		}
	}
}

func aPictureOfOneNurseryIsNotAnothers(t *testing.T, a *address) {
	_, north := a.pair(0, access.Scout)
	_, south := a.pair(1, access.Scout)
	picture := append([]byte("\x89PNG\r\n\x1a\n"), make([]byte, 64)...)
	sum := sha256.Sum256(picture)
	at := "/api/photos/" + hex.EncodeToString(sum[:])
	meta := "hash " + base64.StdEncoding.EncodeToString([]byte(hex.EncodeToString(sum[:])))
	tus := "Tus-Resumable: 1.0.0"
	if status, code, _ := a.ask("POST", "/api/photos", "", nil, north, tus, "Upload-Length: "+strconv.Itoa(len(picture)), "Upload-Metadata: "+meta); status != 201 {
		t.Fatalf("%d %s", status, code)
	}
	if status, code, _ := a.ask("PATCH", at, string(picture), nil, north, tus, "Upload-Offset: 0", "Content-Type: application/offset+octet-stream"); status != 204 {
		t.Fatalf("%d %s", status, code)
	}
	for cookie, want := range map[string]int{north: 200, south: 404} {
		if status, code, _ := a.ask("GET", at, "", nil, cookie); status != want {
			t.Errorf("%d %s, want %d", status, code, want)
		}
	}
	for folder, want := range map[string]bool{"1-north": true, "2-south": false} {
		found := false
		if err := filepath.WalkDir(filepath.Join(a.command.Data, folder, "photos"), func(_ string, entry fs.DirEntry, err error) error {
			found = found || err == nil && !entry.IsDir() && strings.Contains(entry.Name(), hex.EncodeToString(sum[:8]))
			return err
		}); err != nil || found != want {
			t.Errorf("the picture is in %s: %v, %v", folder, found, err)
		}
	}
}

func aCodeOfAnotherNurseryTakesNoPhoneAway(t *testing.T, a *address) {
	me, cookie := a.pair(0, access.Scout)
	code := a.invite(1, access.Scout)
	body := `{"code":"` + code + `","name":"phone"}`
	if status, why, set := a.ask("POST", "/api/pair", body, nil, cookie); status != 409 || why != "other_nursery" || set != "" {
		t.Fatalf("a phone of another nursery: %d %s %q", status, why, set)
	}
	// It is so for one that was revoked, too: what it has still to send is of its own nursery.
	if err := a.served[0].parts.gate.Revoke(t.Context(), me.Device, access.Device{Role: access.Owner}); err != nil {
		t.Fatal(err)
	}
	if status, why, _ := a.ask("POST", "/api/pair", body, nil, cookie); status != 409 || why != "other_nursery" {
		t.Errorf("a revoked phone of another nursery: %d %s", status, why)
	}
	if status, why, _ := a.ask("GET", "/api/pull", "", nil, cookie); status != 403 || why != "revoked" {
		t.Errorf("a revoked phone: %d %s", status, why)
	}
	// In its own nursery it is paired again with its cookie, and the other's code is still good for whoever has none, or one that nobody knows.
	var again schema.Me
	if status, why, _ := a.ask("POST", "/api/pair", `{"code":"`+a.invite(0, access.Scout)+`","name":"phone"}`, &again, cookie); status != 200 || again.Epoch != me.Epoch {
		t.Errorf("paired again: %d %s %+v", status, why, again)
	}
	_, owner := a.pair(1, access.Owner)
	var reads schema.ReadingKeyMade
	if status, why, _ := a.ask("POST", "/api/keys", `{"name":"a printer","table":"pots"}`, &reads, owner); status != 200 {
		t.Fatalf("%d %s", status, why)
	}
	if status, why, set := a.ask("POST", "/api/pair?key="+reads.Key, body, nil, cookie); status != 409 || why != "other_nursery" || set != "" {
		t.Errorf("with a key of the other nursery in the address: %d %s %q", status, why, set)
	}
	// So it is for one that lost its cookie and kept its notes, in whichever nursery the one in front is; an epoch that nobody knows says nothing.
	holds := func(nursery int, epoch string) string {
		return `{"code":"` + a.invite(nursery, access.Scout) + `","name":"phone","epoch":"` + epoch + `"}`
	}
	for nursery := range a.served {
		other := a.served[1-nursery].parts.store.Epoch()
		if status, why, set := a.ask("POST", "/api/pair", holds(nursery, other), nil); status != 409 || why != "other_nursery" || set != "" {
			t.Errorf("without its cookie, with notes of the other nursery: %d %s %q", status, why, set)
		}
		for _, epoch := range []string{a.served[nursery].parts.store.Epoch(), "0000000000000000"} {
			if status, why, _ := a.ask("POST", "/api/pair", holds(nursery, epoch), nil); status != 200 {
				t.Errorf("without its cookie, with notes of the epoch %s: %d %s", epoch, status, why)
			}
		}
	}
	unknown := "Cookie: bedwalk=" + base64.RawURLEncoding.EncodeToString(make([]byte, 32))
	if status, why, _ := a.ask("POST", "/api/pair", body, &again, unknown); status != 200 || again.Epoch != a.served[1].parts.store.Epoch() {
		t.Errorf("another phone with the code: %d %s %+v", status, why, again)
	}
}

func aReadingKeyOpensItsOwnNursery(t *testing.T, a *address) {
	var keys [2]string
	for i := range keys {
		_, cookie := a.pair(i, access.Owner)
		var made schema.ReadingKeyMade
		if status, why, _ := a.ask("POST", "/api/keys", `{"name":"a spreadsheet","table":"pots"}`, &made, cookie); status != 200 {
			t.Fatalf("%d %s", status, why)
		}
		keys[i] = made.Key
	}
	for i, key := range keys {
		// The first has ten pots below the heads of the columns, the second none.
		if status, why, _ := a.ask("GET", "/api/out/csv/pots?key="+key, "", nil); status != 200 || bytes.Count(a.body, []byte("\n")) != 1+10*(1-i) {
			t.Errorf("nursery %d: %d %s\n%s", i, status, why, a.body)
		}
		if status, _, _ := a.ask("GET", "/readyz", "", nil, "Authorization: Bearer "+key); status != 200 {
			t.Errorf("nursery %d is not ready: %d", i, status)
		}
		if status, why, _ := a.ask("GET", "/api/me", "", nil, "Authorization: Bearer "+key); status != 403 {
			t.Errorf("nursery %d: a key is a phone: %d %s", i, status, why)
		}
	}
	last := len(keys[0]) - 1
	other := "0"
	if keys[0][last:] == other {
		other = "1"
	}
	if status, why, _ := a.ask("GET", "/api/out/csv/pots?key="+keys[0][:last]+other, "", nil); status != 401 {
		t.Errorf("a mistyped key: %d %s", status, why)
	}
}

func aSocketHearsOfItsOwnNurseryAlone(t *testing.T, a *address) {
	_, cookie := a.pair(0, access.Scout)
	socket, answer, err := websocket.DefaultDialer.DialContext(t.Context(), "ws"+strings.TrimPrefix(a.url, "http")+"/api/live",
		http.Header{"Cookie": {strings.TrimPrefix(cookie, "Cookie: ")}})
	if err != nil {
		t.Fatalf("%v %v", err, answer)
	}
	defer socket.Close()
	north, south := a.served[0].parts.store, a.served[1].parts.store
	write := func(store *journal.Store) {
		name, role := "Person", schema.RoleScout
		if err := store.Write(t.Context(), journal.Draft{Kind: "person", Person: testphone.ID("p"), Body: schema.Person{Writes: schema.Writes{Of: testphone.ID("p")}, Name: &name, Role: &role}}); err != nil {
			t.Fatal(err)
		}
	}
	write(south)
	write(north)
	for {
		var heard schema.Nudge
		if err := socket.ReadJSON(&heard); err != nil {
			t.Fatal(err)
		}
		if heard.Epoch != north.Epoch() {
			t.Fatalf("heard of %+v", heard)
		}
		if heard.Head == north.Head() {
			return
		}
	}
}
