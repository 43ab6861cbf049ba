package sim

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"bedwalk/schema"
)

// The checkers, by the promise that each checks.
const (
	NeverLost   = "acknowledged is never lost"
	NotDoubled  = "exactly once"
	OwnOrder    = "per-device order"
	CursorGoes  = "cursor monotone within an epoch"
	ReadsOwn    = "read your writes"
	Conserved   = "pots conserved"
	LikeNaive   = "records equal the naive fold"
	Alive       = "liveness"
	TimeBounded = "time lies within what is known"
	TimeRight   = "a time said to be known is right"
	DigestTrue  = "digest is the sum of what is held"
	VerdictTrue = "the server's verdict on a digest is true"
	SaysTrue    = "what is sent is what was noted"
	KeptApart   = "what must be kept apart is, and only as long as it must"
	Shut        = "whoever has no access is shut out"
	WholeReads  = "nobody reads what is not written yet"
	Proven      = "nobody's word alone brings a note back into the journal"
	OneServer   = "a folder has one server"
	ReportTrue  = "the desk shows how each phone stands"
	LetGo       = "only what is old and backed up is let go"
	ReadLater   = "what an older app kept unread a newer one reads"
	NewEpoch    = "an epoch begins where a standby took over"
	NoError     = "no error goes unhandled"
)

// Checkers lists them all.
var Checkers = []string{NeverLost, NotDoubled, OwnOrder, CursorGoes, ReadsOwn, Conserved, LikeNaive, Alive, TimeBounded, TimeRight,
	DigestTrue, VerdictTrue, SaysTrue, KeptApart, Shut, WholeReads, Proven, OneServer, ReportTrue, LetGo, ReadLater, NewEpoch, NoError}

func (w *world) checked(checker string) { w.result.Checks[checker]++ }

// checkCursor checks how the cursor moved between two rests of a phone.
func (w *world) checkCursor(p *phone, was, is Reply) {
	w.checked(CursorGoes)
	from, to := was.Cursor, is.Cursor
	if from.Epoch == to.Epoch && to.Position < from.Position && !is.Doubt {
		w.violated(CursorGoes, "%s went from %v to %v, but does not doubt what it holds", p.name, from, to)
	}
	if from.Epoch != "" && from.Epoch != to.Epoch && to.Position > from.Position {
		w.violated(CursorGoes, "%s kept its cursor from %v for %v", p.name, from, to)
	}
}

// checkSaved checks, right after a save, that the phone shows what it has just saved, and all it saved before.
func (w *world) checkSaved(p *phone, notes []note) {
	s := p.reads()
	for _, n := range notes {
		w.checked(ReadsOwn)
		k, r := w.notes[n.ID], s.rows[n.ID]
		if !k.saved {
			w.result.Saved++
		}
		if k.saved = true; r.Text != "" {
			k.bytes[r.Text] = true
		}
		for _, key := range r.Keys {
			w.checkRow(p, s, key)
		}
	}
	w.checkOwn(p, s)
}

// checkStart checks, when an app starts again, that its storage has what it left there, and that its cursor is not past
// the notes it has.
func (w *world) checkStart(p *phone) {
	s := p.reads()
	w.checkOwn(p, s)
	w.checkPlaces(p, s)
	w.checkReadLater(p, s)
}

// checkOwn: a phone has all that it reported as saved, and the server has what the phone counts as delivered.
func (w *world) checkOwn(p *phone, s storage) {
	w.checked(ReadsOwn)
	for _, id := range slices.Sorted(maps.Keys(p.saved)) {
		r, ok := s.rows[id]
		if !ok && p.isGone(id) {
			p.went[id] = p.now.Cursor.Position
			continue
		}
		// After a restored backup its journal is read again from the beginning, and what it had let go comes with it. A revoked phone gets none.
		if at, went := p.went[id]; !ok && went && w.notes[id].acked && p.now.Cursor.Position < at {
			continue
		}
		if !ok {
			w.violated(ReadsOwn, "%s no longer has the note %s that it reported as saved", p.name, id)
			return
		}
		k := w.notes[id]
		if r.Own != nil && r.Pending == nil && !r.parked() && !k.acked && !k.placed {
			w.violated(NeverLost, "%s counts note %s as delivered, which the server never acknowledged", p.name, id)
			return
		}
	}
}

// checkPlaces: every position up to the cursor has its entry, except for own notes that are sent again to a server that was set
// back, and those that have another position since, or none: the phone finds that by its sums.
func (w *world) checkPlaces(p *phone, s storage) {
	// After a whole disk was set back, which the server itself cannot notice, others' notes may stand in other places until the sums show it.
	if p.now.First || w.result.Faults[DiskSetBack] > 0 && p.now.Digest != (verdict{true, p.now.Cursor.Position}) {
		return
	}
	w.checked(CursorGoes)
	waiting := int64(0)
	places := map[int64]bool{}
	for _, r := range s.rows {
		if r.Pending != nil || r.parked() || r.Own != nil && (r.apart() || r.Position > p.now.Cursor.Position) {
			waiting++
		}
		if r.Position > 0 && r.Position <= p.now.Cursor.Position {
			places[r.Position] = true
		}
	}
	lacks := p.now.Cursor.Position - int64(len(places)) - p.awayCount()
	if lacks > waiting {
		w.violated(CursorGoes, "%s has its cursor at %d but lacks %d entries before it; %d are sent again", p.name, p.now.Cursor.Position, lacks, waiting)
	}
	if lacks == 0 {
		w.checkSums(p, s)
	}
}

// checkSums computes a phone's digest again, with other arithmetic.
func (w *world) checkSums(p *phone, s storage) {
	w.checked(DigestTrue)
	own := naiveSums{}
	for lot, away := range p.now.Gone {
		own.away(lot, away)
	}
	for _, r := range s.rows {
		if r.Position > 0 && r.Position <= p.now.Cursor.Position {
			own.add(r.entry.Lot, r.Raw, r.Stamp)
		}
	}
	for lot, sum := range own {
		if own := p.now.Sums[lot]; own.Sum != sum.text() || own.Count != sum.count {
			w.violated(DigestTrue, "%s has the sum %v for lot %q, but its notes sum to %d, %s", p.name, own, lot, sum.count, sum.text())
			return
		}
	}
	if len(p.now.Sums) != len(own) {
		w.violated(DigestTrue, "%s has sums of %d lots but notes of %d", p.name, len(p.now.Sums), len(own))
	}
}

// naiveSums are digests by lot, in big integers.
type naiveSums map[string]*naiveSum

type naiveSum struct {
	count int
	sum   big.Int
}

func (n naiveSums) add(lot string, raw []byte, stamp schema.Stamp) {
	if n[lot] == nil {
		n[lot] = &naiveSum{}
	}
	counted := fmt.Sprintf(`%s%s{"at":%d,"from":%d,"quality":"%s","to":%d}`, raw, "\n", stamp.At, stamp.From, stamp.Quality, stamp.To)
	hash := sha256.Sum256([]byte(counted))
	n[lot].count++
	n[lot].sum.Add(&n[lot].sum, new(big.Int).SetBytes(hash[:16]))
}

// away adds what a phone counts of notes that it has let go.
func (n naiveSums) away(lot string, let away) {
	if n[lot] == nil {
		n[lot] = &naiveSum{}
	}
	sum, _ := new(big.Int).SetString(let.Sum, 16)
	n[lot].count += let.Count
	n[lot].sum.Add(&n[lot].sum, sum)
}

func (n *naiveSum) text() string {
	modulus := new(big.Int).Lsh(big.NewInt(1), 128)
	return fmt.Sprintf("%032x", new(big.Int).Mod(&n.sum, modulus))
}

// checkVerdict: the server answers "equal" only to the sums of what it has, and always to those of an older app, whose records are
// other ones. Every fourth answer is checked, and each with which an older app's phone would differ.
func (w *world) checkVerdict(p *phone, d schema.Digest, equal bool) {
	isOlder := d.Fold < schema.FoldVersion
	if w.digests++; equal && w.digests%4 != 0 || !equal && !isOlder {
		return
	}
	w.checked(VerdictTrue)
	s, ok := w.dump()
	if !ok {
		return
	}
	own := naiveSums{}
	for i, k := range s.Merged {
		if k.Position <= d.Position {
			own.add(s.stamped[i].Entry.Lot, k.Raw, k.Stamp)
		}
	}
	same := len(own) == len(d.Lots)
	for _, lot := range d.Lots {
		sum := own[lot.Lot]
		same = same && sum != nil && sum.count == lot.Count && sum.text() == lot.Sum
	}
	if same && !equal {
		w.violated(VerdictTrue, "%s, whose app is older, was answered as different at %d, but has the server's notes", p.name, d.Position)
	}
	if !same && equal {
		w.violated(VerdictTrue, "%s was answered as equal at %d, but its sums are not those of the server's journal", p.name, d.Position)
	}
}

// checkRow compares a record on a phone with the naive one.
func (w *world) checkRow(p *phone, s storage, key string) {
	var set []schema.Stamped
	for _, r := range s.byKey[key] {
		if r.counts() {
			set = append(set, r.stamped())
		}
	}
	raw := []byte("null")
	if r := s.records[key]; r.Hash != "" {
		raw = []byte(r.Text)
	}
	w.checkFold(p.name, key, set, raw)
}

// checkFold compares a record with the naive one. The same entries fold naively to the same again: a record that was found right is not
// compared a second time while it and its entries are, on another phone or at the server, what they were.
func (w *world) checkFold(who, key string, set []schema.Stamped, record []byte) {
	w.checked(LikeNaive)
	entries, err := json.Marshal(slices.SortedStableFunc(slices.Values(set), func(a, b schema.Stamped) int { return strings.Compare(a.Entry.ID, b.Entry.ID) }))
	if err != nil {
		w.broken(err)
		return
	}
	asked := sha256.Sum256(append(append(entries, '\n'), record...))
	if w.right[key] == asked {
		return
	}
	wanted, err := json.Marshal(Naive(key, set))
	if err != nil {
		w.broken(err)
		return
	}
	if a, b := w.rewritten(record), w.rewritten(wanted); a != b {
		w.violated(LikeNaive, "%s of %s is\n%s\nbut by the naive fold\n%s", key, who, a, b)
		return
	}
	w.right[key] = asked
}

// rewritten writes JSON in one form, whatever wrote it.
func (w *world) rewritten(raw []byte) string {
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	var value any
	if err := decoder.Decode(&value); err != nil {
		w.broken(err)
	}
	text, err := json.Marshal(value)
	if err != nil {
		w.broken(err)
	}
	return string(text)
}

func cutPath(path string) (before, after string, found bool) { return strings.Cut(path, "?") }
