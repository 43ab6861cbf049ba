package api_test

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"io"
	"mime"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/export"
	"bedwalk/server/journal"
	"bedwalk/sync/tables"
)

func TestTheCSVHasEveryPotNothingRunsAsAFormulaAndNotLookedAtIsEmpty(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	n := s.plant(boss, scout)
	o := n.Pot(3, 2, 200, 40)
	o.RootCover, o.Words = nil, "@cmd, \"quoted\"\nsecond line"
	scout.Note("observation", n.Lot, n.Bed, o)
	struck := scout.See(n, 4, 1, 210, 41)
	scout.Note("void", n.Lot, n.Bed, schema.Void{Names: struck, Records: []string{"pot:" + struck}, Why: "wrong_pot"})
	s.push(scout, scout.All(1))
	r := s.do(boss.cookie, "GET", "/api/out/observations.csv", "")
	if r.status != 200 || !strings.HasPrefix(r.header.Get("Content-Type"), "text/csv") || !strings.Contains(string(r.body), "\r\n") {
		t.Fatalf("%d %v", r.status, r.header)
	}
	rows, err := csv.NewReader(bytes.NewReader(r.body)).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	byName := map[string]map[string]string{}
	for _, row := range rows[1:] {
		cells := map[string]string{}
		for i, cell := range row {
			cells[rows[0][i]] = cell
		}
		byName[cells["row"]] = cells
	}
	first := byName["3"]
	for name, want := range map[string]string{
		"cultivar": "'=Ruddy", "words": "'@cmd, \"quoted\"\nsecond line", "head_a_mm": "200", "root_cover": "", "root_life": "4",
		"bed": "E1", "house": "East", "lot": "T-1", "planned": "yes", "struck_out": "",
		// 1,000,000,001 s after 1970, when the phone was paired (no note is older), in New York, which then kept summer time.
		"seen_at": "2001-09-08T21:46:41-04:00",
	} {
		if first[name] != want {
			t.Errorf("%s is %q, want %q", name, first[name], want)
		}
	}
	if byName["4"]["struck_out"] != "yes" || byName["4"]["struck_out_why"] != "wrong_pot" {
		t.Errorf("the struck-out pot is %v", byName["4"])
	}
	for query, want := range map[string]int{
		"?lot=" + n.Lot: 2, "?bed=" + n.Bed: 2, "?lot=" + n.Bed: 0, "?from=2001-09-08&to=2001-09-08": 2, "?from=2001-09-09": 0, "?to=2001-09-07": 0,
	} {
		r := s.do(boss.cookie, "GET", "/api/out/observations.csv"+query, "")
		if got := strings.Count(string(r.body), "azalea"); got != want {
			t.Errorf("%s gives %d pots, want %d", query, got, want)
		}
	}
}

// Every table comes as CSV and as JSON under a file name that says whose it is, what it holds and of which day (RFC 6266); a nursery's name
// cannot lead the file out of its folder, and a scout gets none of it.
func TestEveryTableIsFetchedAsCSVAndJSONUnderANameThatSaysWhatItHolds(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	n := s.plant(boss, scout)
	scout.See(n, 4, 1, 210, 41)
	s.push(scout, scout.All(1))
	name := "Año/../x \"y\""
	// Of two names of one moment, which counts is decided by the ids of their devices.
	s.clock = s.clock.Add(time.Second)
	if err := s.store.Write(t.Context(), journal.Draft{Kind: "site", Person: boss.Person, Body: schema.Site{Writes: schema.Writes{Of: n.Site}, Name: &name}}); err != nil {
		t.Fatal(err)
	}
	for _, table := range export.TableNames() {
		r := s.do(boss.cookie, "GET", "/api/out/csv/"+table, "")
		rows, err := csv.NewReader(bytes.NewReader(r.body)).ReadAll()
		_, named, broken := mime.ParseMediaType(r.header.Get("Content-Disposition"))
		if r.status != 200 || err != nil || broken != nil || len(rows) < 1 {
			t.Fatalf("%s: %d %v %v", table, r.status, err, broken)
		}
		what := map[string]string{"site": "nursery", "person": "people", "pots": "pots"}[table]
		if what == "" {
			what = table + "s"
		}
		if want := "Año-..-x -y- " + what + " 2001-09-09.csv"; named["filename"] != want {
			t.Errorf("%s is called %q, want %q", table, named["filename"], want)
		}
		asJSON := s.do(boss.cookie, "GET", "/api/out/json/"+table, "")
		objects := []map[string]json.RawMessage{}
		if err := json.Unmarshal(asJSON.body, &objects); err != nil || len(objects) != len(rows)-1 {
			t.Errorf("%s: %d objects beside %d rows, %v", table, len(objects), len(rows)-1, err)
		}
		if table == "lot" && string(objects[0]["cultivar"]) != `"=Ruddy"` {
			t.Errorf("JSON has the text as it was written, not %s", objects[0]["cultivar"])
		}
		if r := s.do(scout.cookie, "GET", "/api/out/csv/"+table, ""); r.status != 403 {
			t.Errorf("a scout is answered %d", r.status)
		}
	}
	notes := s.do(boss.cookie, "GET", "/api/out/notes.jsonl", "")
	if got := strings.Count(string(notes.body), "\n"); int64(got) != s.store.Head() {
		t.Errorf("%d notes, want %d", got, s.store.Head())
	}
	if r := s.do(boss.cookie, "GET", "/api/out/csv/passwords", ""); r.status != 404 || !strings.Contains(string(r.body), "The tables are pots, site") {
		t.Errorf("%d %s", r.status, r.body)
	}
}

// A spreadsheet may split the file at another sign than the comma, and then quotes do not protect a cell (OWASP, "CSV
// Injection", https://owasp.org/www-community/attacks/CSV_Injection; the signs are those of that page, read from memory).
func TestNoCellBeginsAFormulaAtWhateverSignASpreadsheetSplits(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	n := s.plant(boss, scout)
	var sent []string
	for _, sign := range []string{"=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"} {
		for _, before := range []string{"", " ", "\u00a0", "\ufeff", "dry;", "dry; ", "dry;\"", "dry,", "dry|", "dry\t", "dry\n", "dry\r\n ", "\"; '", ";;"} {
			sent = append(sent, before+sign+"HYPERLINK(1)")
		}
	}
	plain := []string{"10 - 2 left; dry", "a=b, c+d", "e-mail x@y"}
	sent = append(sent, plain...)
	for i, words := range sent {
		o := n.Pot(1+i%10, 1+i%5, 200, 40)
		o.Words = words
		scout.Note("observation", n.Lot, n.Bed, o)
	}
	for _, given := range s.push(scout, scout.All(1)).Given {
		if given.State != "merged" {
			t.Fatalf("a note is %+v", given)
		}
	}
	file := string(s.do(boss.cookie, "GET", "/api/out/observations.csv", "").body)
	if rows, err := csv.NewReader(strings.NewReader(file)).ReadAll(); err != nil || len(rows) != len(sent)+1 {
		t.Fatalf("%d rows of %d, %v", len(rows)-1, len(sent), err)
	}
	for _, words := range plain {
		if !strings.Contains(file, words) {
			t.Errorf("%q was changed", words)
		}
	}
	for _, at := range []string{",", ";", "\t", "|", "\n", "\r"} {
		for _, cell := range strings.Split(file, at) {
			if cell = strings.TrimLeft(cell, " \u00a0\ufeff\""); cell != "" && strings.ContainsAny(string([]rune(cell)[0]), "=+-@\uff1d\uff0b\uff0d\uff20") {
				t.Errorf("split at %q, a cell begins %.20q", at, cell)
			}
		}
	}
}

func TestAFileOfUnsentNotesIsTakenIn(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	n := s.plant(boss, scout)
	s.push(scout, scout.All(1))
	scout.See(n, 1, 1, 200, 40)
	scout.See(n, 2, 1, 200, 40)
	file := s.json(map[string]any{"bedwalk": "unsent notes", "device": scout.Device, "aside": []any{}, "entries": scout.Raw[1:]})
	for _, want := range []string{`{"entries":2,"merged":2,"known":0,"quarantined":0}`, `{"entries":2,"merged":0,"known":2,"quarantined":0}`} {
		r := s.do(boss.cookie, "POST", "/api/in/unsent", file)
		if got := strings.TrimSpace(string(r.body)); r.status != 200 || got != want {
			t.Fatalf("%d %s, want %s", r.status, got, want)
		}
	}
	if r := s.do(scout.cookie, "POST", "/api/in/unsent", file); r.status != 403 {
		t.Fatalf("a scout got %d", r.status)
	}
}

func TestAPageOfTheJournalIsZippedAndItsEntriesAreUntouched(t *testing.T) {
	s := newSite(t)
	boss := s.pair("supervisor")
	boss.Plant()
	boss.Note("note", "", "", schema.Note{Words: "a < b & c > d \u2028"})
	s.push(boss, boss.All(1))
	r := s.do(boss.cookie, "GET", "/api/pull", "", "Accept-Encoding: br, gzip;q=0.8")
	if r.header.Get("Content-Encoding") != "gzip" {
		t.Fatalf("not zipped: %v", r.header)
	}
	z, err := gzip.NewReader(bytes.NewReader(r.body))
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	var page schema.Pull
	if err := json.Unmarshal(raw, &page); err != nil {
		t.Fatal(err)
	}
	for i, item := range page.Items {
		if !bytes.Equal(item.Entry, boss.Raw[i]) {
			t.Fatalf("entry %d came back as %s", i+1, item.Entry)
		}
	}
	if r := s.do(boss.cookie, "GET", "/api/pull", "", "Accept-Encoding: gzip;q=0"); r.header.Get("Content-Encoding") != "" {
		t.Fatal("zipped for somebody who does not take that")
	}
}

func TestAPageComesAsTablesForWhoeverAsksAndAsItWasForWhoeverDoesNot(t *testing.T) {
	s := newSite(t)
	boss := s.pair("supervisor")
	boss.Plant()
	boss.Note("note", "", "", schema.Note{Words: "a < b & c > d \u2028"})
	s.push(boss, boss.All(1))
	get := func(query string) []byte {
		r := s.do(boss.cookie, "GET", "/api/pull"+query, "", "Accept-Encoding: gzip;q=0")
		if r.status != 200 {
			t.Fatalf("%s: %d %s", query, r.status, r.body)
		}
		return r.body
	}
	var plain schema.Pull
	if err := json.Unmarshal(get(""), &plain); err != nil || len(plain.Items) < 2 {
		t.Fatalf("%d items: %v", len(plain.Items), err)
	}
	// A phone of a later release asks for a form that this server does not know yet, and gets the newest that it does.
	for _, query := range []string{"?tables=1", "?tables=7"} {
		page, err := tables.Read(get(query))
		if err != nil {
			t.Fatal(err)
		}
		plain.ServerNow, page.ServerNow = 0, 0
		if a, b := s.json(plain), s.json(page); a != b {
			t.Errorf("%s: as tables\n%s\nand plain\n%s", query, b, a)
		}
	}
	// Of a few entries tables would be the longer form.
	var few schema.Pull
	if err := json.Unmarshal(get("?tables=1&limit=7"), &few); err != nil || len(few.Items) != 7 || len(plain.Items) < 8 {
		t.Errorf("a short page has %d items of %d: %v", len(few.Items), len(plain.Items), err)
	}
	if r := s.do(boss.cookie, "GET", "/api/pull?tables=some", ""); r.status != 400 || !strings.Contains(string(r.body), "0 or more") {
		t.Errorf("a form that is no number: %d %s", r.status, r.body)
	}
}

func TestAPhotoIsSentInPartsByTheTusProtocol(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	raw := append([]byte("\x89PNG\r\n\x1a\n"), bytes.Repeat([]byte{7}, 1000)...)
	sum := sha256.Sum256(raw)
	hash := hex.EncodeToString(sum[:])
	version, kind := "Tus-Resumable: 1.0.0", "Content-Type: application/offset+octet-stream"
	begin := func() answer {
		return s.do(scout.cookie, "POST", "/api/photos", "", version, "Upload-Length: "+strconv.Itoa(len(raw)),
			"Upload-Metadata: filename cGhvdG8, hash "+base64.StdEncoding.EncodeToString([]byte(hash)))
	}
	part := func(offset, from, to int) answer {
		return s.do(scout.cookie, "PATCH", "/api/photos/"+hash, string(raw[from:to]), version, kind, "Upload-Offset: "+strconv.Itoa(offset))
	}
	if r := begin(); r.status != 201 || r.header.Get("Location") != "/api/photos/"+hash || r.header.Get("Upload-Offset") != "0" {
		t.Fatalf("creation: %d %v %s", r.status, r.header, r.body)
	}
	if r := part(0, 0, 400); r.status != 204 || r.header.Get("Upload-Offset") != "400" {
		t.Fatalf("first part: %d %v %s", r.status, r.header, r.body)
	}
	if r := part(0, 0, 400); r.status != 409 || r.header.Get("Upload-Offset") != "400" || problem(t, r).Code != "photo_offset" {
		t.Fatalf("the same part again: %d %s", r.status, r.body)
	}
	if r := s.do(boss.cookie, "GET", "/api/photos/"+hash, ""); r.status != 404 {
		t.Fatalf("half a photo was shown: %d", r.status)
	}
	if r := s.do(scout.cookie, "HEAD", "/api/photos/"+hash, "", version); r.status != 200 || r.header.Get("Upload-Offset") != "400" || r.header.Get("Upload-Length") != "1008" {
		t.Fatalf("where was I: %d %v", r.status, r.header)
	}
	if r := part(400, 400, 1008); r.status != 204 {
		t.Fatalf("last part: %d %s", r.status, r.body)
	}
	r := s.do(boss.cookie, "GET", "/api/photos/"+hash, "")
	if r.status != 200 || r.header.Get("Content-Type") != "image/png" || !bytes.Equal(r.body, raw) {
		t.Fatalf("the photo: %d %v", r.status, r.header)
	}
	if r := begin(); r.status != 201 || r.header.Get("Upload-Offset") != "1008" {
		t.Fatalf("have it already: %d %v", r.status, r.header)
	}
	for _, one := range []row{
		{name: "nobody's", method: "GET", path: "/api/photos/" + hash, status: 401},
		{name: "no version", as: "scout", method: "POST", path: "/api/photos", status: 412, has: []string{"tus_version"}},
		{name: "no length", as: "scout", method: "POST", path: "/api/photos", headers: []string{version}, status: 400, has: []string{"photo_length"}},
		{name: "no hash", as: "scout", method: "POST", path: "/api/photos", headers: []string{version, "Upload-Length: 5"}, status: 400, has: []string{"photo_name"}},
		{name: "too large", as: "scout", method: "POST", path: "/api/photos", headers: []string{version, "Upload-Length: 20000001", "Upload-Metadata: hash " + base64.StdEncoding.EncodeToString([]byte(hash))}, status: 413, has: []string{"photo_too_large"}},
		{name: "wrong type", as: "scout", method: "PATCH", path: "/api/photos/" + hash, body: "x", headers: []string{version, "Upload-Offset: 0"}, status: 415, has: []string{"content_type"}},
		{name: "no offset", as: "scout", method: "PATCH", path: "/api/photos/" + hash, body: "x", headers: []string{version, kind}, status: 400, has: []string{"photo_offset"}},
		{name: "unknown", as: "scout", method: "HEAD", path: "/api/photos/" + strings.Repeat("0", 64), headers: []string{version}, status: 404},
		{name: "outside", as: "scout", method: "GET", path: "/api/photos/..%2f..%2fbedwalk.db", status: 400, has: []string{"photo_name"}},
	} {
		cookie := map[string]string{"scout": scout.cookie}[one.as]
		got := s.do(cookie, one.method, one.path, one.body, one.headers...)
		if got.status != one.status {
			t.Errorf("%s: got %d, want %d: %s", one.name, got.status, one.status, got.body)
		}
		for _, text := range one.has {
			if !strings.Contains(string(got.body), text) {
				t.Errorf("%s: lacks %q: %s", one.name, text, got.body)
			}
		}
	}
}

// patient is a connection on which each write of a part may take a time of its own.
type patient struct {
	*httptest.ResponseRecorder
	deadlines int
	fails     bool
}

func (p *patient) SetWriteDeadline(time.Time) error { p.deadlines++; return nil }

func (p *patient) Write(raw []byte) (int, error) {
	if p.fails && p.deadlines > 0 {
		return 0, io.ErrClosedPipe
	}
	return p.ResponseRecorder.Write(raw)
}

func TestATableMayTakeAsLongAsItsReaderDoesAndOneThatIsCutIsNoWholeOne(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	n := s.plant(boss, scout)
	for i := range 5 {
		scout.See(n, 1+i, 1, 200+i, 40)
	}
	s.push(scout, scout.All(1))
	ask := httptest.NewRequest("GET", "/api/out/observations.csv", nil)
	ask.Header.Set("Cookie", boss.cookie)
	whole := &patient{ResponseRecorder: httptest.NewRecorder()}
	s.handler.ServeHTTP(whole, ask)
	// One for the pots, and one for the read that finds no more.
	if rows := strings.Count(whole.Body.String(), "\r\n"); rows != 6 || whole.deadlines != 2 {
		t.Errorf("%d lines, the time was given %d times", rows, whole.deadlines)
	}
	defer func() {
		if r := recover(); r != http.ErrAbortHandler {
			t.Errorf("the connection of a table that was cut ended with %v", r)
		}
	}()
	s.handler.ServeHTTP(&patient{ResponseRecorder: httptest.NewRecorder(), fails: true}, ask)
}
