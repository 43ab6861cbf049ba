package export_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/export"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

var exported = time.Unix(1_800_000_000, 0)

// site is an open data folder.
type site struct {
	*testing.T
	dir   string
	db    *db.DB
	store *journal.Store
}

func openSite(t *testing.T, dir string, beside bool) *site {
	t.Helper()
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(dir, db.File), Beside: beside})
	if err != nil {
		t.Fatal(err)
	}
	store, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Beside: beside})
	if err != nil {
		t.Fatal(err)
	}
	s := &site{t, dir, d, store}
	t.Cleanup(s.close)
	return s
}

func (s *site) close() {
	if err := errors.Join(s.store.Close(), s.db.Close()); err != nil {
		s.Error(err)
	}
}

func (s *site) export() (folder string) {
	s.Helper()
	folder = filepath.Join(s.TempDir(), "out")
	if _, err := export.All(s.Context(), export.Source{
		Journal: s.store, Pots: view.New(s.store, access.New(access.Options{Store: lite.Access(s.db), Dir: s.db.Dir()})), Build: "test",
		Photos: func(to string) (int, error) { return backup.CopyPhotos(filepath.Join(s.dir, backup.PhotosDir), to) },
	}, folder, exported); err != nil {
		s.Fatal(err)
	}
	return folder
}

// push sends what a phone has not sent yet; a revoked one's goes to review.
func (s *site) push(p *testphone.Phone, from int, revoked bool) {
	s.Helper()
	if from > len(p.Raw) {
		return
	}
	if _, err := s.store.Push(s.Context(), p.All(from), journal.Sender{Device: p.Device, Revoked: revoked}); err != nil {
		s.Fatal(err)
	}
}

// grown is a nursery with something of everything that a journal can hold, in an order by chance: notes of three phones, of kinds of a later
// build, with unknown fields and signs of all sorts, struck out, in quarantine, decided, from a file; a lot closed and touched again; pictures.
func grown(t *testing.T, seed uint64) *site {
	t.Helper()
	s, chance := openSite(t, testphone.Ready(t), false), rand.New(rand.NewPCG(seed, 1))
	a, b, gone := testphone.New("a"), testphone.New("b"), testphone.New("c")
	n := a.Plant()
	s.push(a, 1, false)
	closed, day := testphone.ID("closed lot"), "2001-09-01"
	var saw []string
	steps := []func(p *testphone.Phone){
		func(p *testphone.Phone) { p.See(n, 1+chance.IntN(10), 1+chance.IntN(5), 150+chance.IntN(80), 40) },
		func(p *testphone.Phone) {
			first := p.See(n, 2, 2, 200, 40)
			p.Note("void", n.Lot, n.Bed, map[string]any{"of": first, "key": "pot:" + first, "why": "mistake"})
		},
		func(p *testphone.Phone) {
			p.Note("note", n.Lot, n.Bed, schema.Note{Lot: n.Lot, Words: "a\u2028<b> & \"c\"\n\U0001F33A \x7f"})
		},
		func(p *testphone.Phone) { p.Note("of_later", n.Lot, n.Bed, map[string]any{"new": []any{1, nil, "x"}}) },
		func(p *testphone.Phone) {
			// A later build's field in the envelope, in canonical order.
			e := p.Entry("note", n.Lot, n.Bed, schema.Note{Lot: n.Lot, Words: "later"})
			p.Write(e)
			raw := bytes.Replace(p.Raw[len(p.Raw)-1], []byte(`"v":`), []byte(`"unknown":7,"v":`), 1)
			p.Raw, p.Chains = p.Raw[:len(p.Raw)-1], p.Chains[:len(p.Chains)-1]
			p.WriteRaw(raw)
		},
		func(p *testphone.Phone) { p.See(n, 1, 1, 4000, 40) },
		func(p *testphone.Phone) {
			other := n
			other.Lot = testphone.ID(fmt.Sprint("not yet here ", len(p.Raw)))
			p.See(other, 1, 1, 200, 40)
		},
		func(p *testphone.Phone) { p.WriteRaw([]byte(`"no entry at all"`)) },
		func(p *testphone.Phone) {
			saw = []string{p.Note("lot", closed, "", schema.Lot{Writes: schema.Writes{Of: closed, Saw: saw}, ShippedOn: &day})}
			p.Note("count", closed, "", schema.Count{Lot: closed, Change: 5, Reason: "potted"})
			p.Note("count", closed, "", schema.Count{Lot: closed, Change: -5, Reason: "shipped"})
		},
		func(*testphone.Phone) {
			loose := testphone.New("lost")
			loose.Plant()
			raw := loose.Raw[len(loose.Raw)-1:]
			if _, err := s.store.Import(t.Context(), raw, func(string) journal.Sender { return journal.Sender{} }); err != nil {
				t.Fatal(err)
			}
		},
		func(*testphone.Phone) {
			waiting, err := s.store.Quarantine(t.Context(), 50)
			if err != nil || len(waiting) == 0 {
				return
			}
			one := waiting[chance.IntN(len(waiting))]
			if err := s.store.Decide(t.Context(), one.N, chance.IntN(2) == 0, a.Person); err != nil && !errors.Is(err, journal.ErrNotMergeable) {
				t.Fatal(err)
			}
		},
		func(*testphone.Phone) {
			raw := []byte(fmt.Sprint("leaf ", chance.IntN(5)))
			name := hexSum(raw)
			at := filepath.Join(s.dir, backup.PhotosDir, name[:2], name)
			if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o750), os.WriteFile(at, raw, 0o600)); err != nil {
				t.Fatal(err)
			}
		},
	}
	phones := []*testphone.Phone{a, b, gone}
	// Each of them once, so that none is missing, and then by chance.
	for i := range len(steps) + 20 {
		p := phones[chance.IntN(len(phones))]
		from := len(p.Raw) + 1
		step := i
		if i >= len(steps) {
			step = chance.IntN(len(steps))
		}
		steps[step](p)
		s.push(p, from, p == gone)
	}
	waiting, err := s.store.Quarantine(t.Context(), 50)
	for _, one := range waiting {
		if _, way := journal.Bringer(one.Device); way == journal.WayFile {
			err = errors.Join(err, s.store.Decide(t.Context(), one.N, true, a.Person))
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func hexSum(raw []byte) string {
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// files are the bytes of every file below a folder.
func files(t *testing.T, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	if err := fs.WalkDir(os.DirFS(folder), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		raw, err := os.ReadFile(filepath.Join(folder, name))
		all[name] = string(raw)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return all
}

func TestWhatIsExportedImportedAndExportedAgainIsEqualToTheByte(t *testing.T) {
	for seed := range uint64(4) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			s := grown(t, seed)
			first, data := s.export(), testphone.Folder(t)
			if !strings.Contains(files(t, first)["notes.jsonl"], `"by":`) {
				t.Fatal("no note stands under another number than its own: have the steps make one")
			}
			made, err := export.Import(t.Context(), first, data)
			if err != nil || int64(made.Notes) != s.store.Head() || made.Photos == 0 {
				t.Fatalf("imported %+v: %v", made, err)
			}
			if left, err := filepath.Glob(filepath.Join(data, "*.half")); err != nil || len(left) > 0 {
				t.Errorf("left behind: %v, %v", left, err)
			}
			again := openSite(t, data, true)
			if found, err := backup.Verify(t.Context(), again.db); err != nil || found.Pictures != made.Photos {
				t.Fatalf("verify finds %+v: %v", found, err)
			}
			was, is := files(t, first), files(t, again.export())
			for _, name := range slices.Sorted(maps.Keys(was)) {
				if was[name] != is[name] {
					t.Errorf("%s differs:\n%s\n%s", name, was[name], is[name])
				}
			}
			if len(was) != len(is) {
				t.Errorf("%d files and %d", len(was), len(is))
			}
		})
	}
}

func TestAnImportedNurseryBeginsAnEpochAndItsPhonesGoOnInTheirChains(t *testing.T) {
	s, p := openSite(t, testphone.Ready(t), false), testphone.New("a")
	n := p.Plant()
	s.push(p, 1, false)
	folder, epoch := s.export(), s.store.Epoch()
	after := len(p.Raw) + 1
	p.See(n, 1, 1, 200, 40)
	s.push(p, after, false)
	data := testphone.Folder(t)
	if _, err := export.Import(t.Context(), folder, data); err != nil {
		t.Fatal(err)
	}
	imported := openSite(t, data, false)
	if imported.store.Epoch() == epoch || imported.store.Head() != int64(after-1) {
		t.Fatalf("epoch %s after %s, %d notes", imported.store.Epoch(), epoch, imported.store.Head())
	}
	push := p.All(after)
	push.Epoch = epoch
	_, err := imported.store.Push(t.Context(), push, journal.Sender{Device: "a"})
	if refused := (*schema.Problem)(nil); !errors.As(err, &refused) || refused.Code != journal.CodeRewind {
		t.Fatalf("a phone of before the import is answered %v", err)
	}
	// It sends again what came after the export.
	imported.push(p, after, false)
	if imported.store.Head() != s.store.Head() {
		t.Errorf("%d notes of %d", imported.store.Head(), s.store.Head())
	}
}

// sums writes the list of sums again, as somebody would who knows of it.
func sums(t *testing.T, folder string) {
	t.Helper()
	var list strings.Builder
	for name, raw := range files(t, folder) {
		if name != "SHA256SUMS" {
			fmt.Fprintf(&list, "%s  %s\n", hexSum([]byte(raw)), name)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(list.String()), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestAnExportThatIsNotAsItWasWrittenIsRefusedAndLeavesNothing(t *testing.T) {
	whole := grown(t, 1).export()
	edit := func(name, from, to string) func(*testing.T, string) {
		return func(t *testing.T, folder string) {
			t.Helper()
			path := filepath.Join(folder, name)
			raw, err := os.ReadFile(path)
			if err != nil || !strings.Contains(string(raw), from) {
				t.Fatalf("%s has no %q: %v", name, from, err)
			}
			if err := os.WriteFile(path, []byte(strings.Replace(string(raw), from, to, 1)), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	signed := func(change func(*testing.T, string)) func(*testing.T, string) {
		return func(t *testing.T, folder string) { t.Helper(); change(t, folder); sums(t, folder) }
	}
	remove := func(pattern string) func(*testing.T, string) {
		return func(t *testing.T, folder string) {
			t.Helper()
			found, err := filepath.Glob(filepath.Join(folder, pattern))
			if err != nil || len(found) == 0 {
				t.Fatalf("no %s: %v", pattern, err)
			}
			if err := os.Remove(found[0]); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, c := range []struct {
		name   string
		change func(*testing.T, string)
		why    error
		says   string
	}{
		{"a changed note", edit("notes.jsonl", `"later"`, `"lat3r"`), export.ErrDamaged, "notes.jsonl was changed"},
		{"a changed table", edit("pots.csv", "200", "201"), export.ErrDamaged, "pots.csv was changed"},
		{"a file gone", remove("dictionary.csv"), export.ErrDamaged, "dictionary.csv is missing"},
		{"a picture gone", remove("photos/*/*"), export.ErrDamaged, "is missing"},
		{"no list", remove("SHA256SUMS"), export.ErrDamaged, "has no SHA256SUMS"},
		{"a name out of the folder", edit("SHA256SUMS", "  pots.csv", "  ../pots.csv"), export.ErrDamaged, "a line that is none"},
		{"a list that ends before the state", func(t *testing.T, folder string) {
			list := files(t, folder)["SHA256SUMS"]
			at := strings.Index(list, "  state.jsonl\n") - 64
			if err := os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(list[:at]+list[at+64+len("  state.jsonl\n"):]), 0o600); err != nil {
				t.Fatal(err)
			}
		}, export.ErrDamaged, "does not name state.jsonl"},
		{"a list cut off in a line", func(t *testing.T, folder string) {
			list := files(t, folder)["SHA256SUMS"]
			if err := os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(list[:len(list)-1]), 0o600); err != nil {
				t.Fatal(err)
			}
		}, export.ErrDamaged, "SHA256SUMS is cut off"},
		{"a changed note with its sum", signed(edit("notes.jsonl", `"later"`, `"lat3r"`)), export.ErrDamaged, "are not those"},
		{"a changed stamp with its sum", signed(edit("notes.jsonl", `"stamp":{"at":1`, `"stamp":{"at":2`)), export.ErrDamaged, "are not those"},
		{"a changed time of arrival with its sum", signed(edit("notes.jsonl", `"received_at":1`, `"received_at":2`)), export.ErrDamaged, "are not those"},
		{"a note left out", signed(edit("notes.jsonl", `"position":7`, `"position":8`)), export.ErrDamaged, "no note for position 7"},
		{"a note in quarantine changed", signed(edit("state.jsonl", "no entry at all", "no entry at al1")), export.ErrDamaged, "chain"},
		{"a writer gone", signed(edit("state.jsonl", `"device":"a"`, `"device":"z"`)), export.ErrDamaged, `device "a"`},
		{"a table that is none", signed(edit("state.jsonl", `"state":"`, `"state":"x`)), export.ErrDamaged, "quarantine"},
		{"a later format", signed(edit("state.jsonl", `"format":1`, `"format":2`)), export.ErrNewer, "newer"},
		{"a later fold", signed(edit("state.jsonl", fmt.Sprintf(`"name":"fold","value":"%d"`, schema.FoldVersion), `"name":"fold","value":"9999"`)), export.ErrNewer, "newer"},
		{"of an older build", signed(remove("state.jsonl")), export.ErrOlder, "export again"},
		{"a picture with other bytes and their sum", signed(func(t *testing.T, folder string) {
			found, _ := filepath.Glob(filepath.Join(folder, "photos/*/*"))
			if err := os.WriteFile(found[0], []byte("other"), 0o600); err != nil {
				t.Fatal(err)
			}
		}), export.ErrDamaged, "was changed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder, data := t.TempDir(), testphone.Folder(t)
			if err := os.CopyFS(folder, os.DirFS(whole)); err != nil {
				t.Fatal(err)
			}
			c.change(t, folder)
			if _, err := export.Import(t.Context(), folder, data); !errors.Is(err, c.why) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v", err)
			}
			if left := files(t, data); len(left) > 0 {
				t.Errorf("left in the data folder: %v", slices.Collect(maps.Keys(left)))
			}
		})
	}
}

func TestAnImportIsOnlyIntoAFolderWithoutANurseryOfAnother(t *testing.T) {
	s, other := grown(t, 2), openSite(t, testphone.Ready(t), false)
	folder := s.export()
	if _, err := export.Import(t.Context(), folder, other.dir); !errors.Is(err, export.ErrInUse) {
		t.Errorf("over a nursery: %v", err)
	}
	// Its database is lost, and what was written last to it is not.
	log, err := os.ReadFile(filepath.Join(s.dir, db.File+"-wal"))
	left := testphone.Folder(t)
	if err = errors.Join(err, os.WriteFile(filepath.Join(left, db.File+"-wal"), log, 0o600)); err != nil {
		t.Fatal(err)
	}
	if _, err := export.Import(t.Context(), folder, left); !errors.Is(err, export.ErrInUse) || !strings.Contains(err.Error(), "-wal") {
		t.Errorf("beside the log of a nursery: %v", err)
	}
	// Its database is lost, and what lies beside it says whose it was.
	for _, one := range []*site{s, other} {
		beside, err := os.ReadFile(filepath.Join(one.dir, journal.SidecarFile))
		if err != nil {
			t.Fatal(err)
		}
		data := testphone.Folder(t)
		if err := os.WriteFile(filepath.Join(data, journal.SidecarFile), beside, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err = export.Import(t.Context(), folder, data)
		if one == s && err != nil || one == other && !errors.Is(err, export.ErrAnother) {
			t.Errorf("where %s was: %v", one.dir, err)
		}
	}
	if raw, err := json.Marshal(s.store.Epoch()); err != nil || !strings.Contains(files(t, folder)["state.jsonl"], string(raw)) {
		t.Errorf("the epoch is not in the export: %v", err)
	}
}
