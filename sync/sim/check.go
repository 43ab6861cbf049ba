package sim

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math/big"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/fold"
)

// The checkers, by the promise that each watches over.
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
	DigestTrue  = "digest is the sum of what is held"
)

// Checkers are all of them.
var Checkers = []string{NeverLost, NotDoubled, OwnOrder, CursorGoes, ReadsOwn, Conserved, LikeNaive, Alive, TimeBounded, DigestTrue}

func (w *world) checked(checker string) { w.result.Checks[checker]++ }

// wrote keeps the bytes of a note that was called saved; a note that had to take a new number has several.
func (w *world) wrote(p *phone, r row) {
	w.trace("%s saves %s %s as %d.%d", p.name, r.entry.Kind, r.entry.ID[:6], r.entry.Incarnation, r.entry.Seq)
	if w.notes[r.entry.ID] == nil {
		w.notes[r.entry.ID] = map[string]bool{}
		w.result.Saved++
	}
	w.notes[r.entry.ID][string(r.raw)] = true
}

func (w *world) acknowledged(p *phone, r row) {
	w.trace("%s has %s acknowledged, %s at %d", p.name, r.entry.ID[:6], r.state, r.position)
	if !w.acked[r.entry.ID] {
		w.acked[r.entry.ID] = true
		w.result.Acknowledged++
	}
}

func (w *world) checkCursor(p *phone, from, to cursor, mended bool) {
	w.checked(CursorGoes)
	if !mended && from.epoch != "" && (to.epoch != from.epoch || to.position < from.position) {
		w.violated(CursorGoes, "%s went from %v to %v", p.name, from, to)
	}
}

// checkSaved asks, right after a save, that the phone shows what it has just saved, and all else that it ever did.
func (w *world) checkSaved(p *phone, r row) {
	w.checked(ReadsOwn)
	for _, key := range r.keys {
		if !slices.ContainsFunc(p.disk.of(key), func(s schema.Stamped) bool { return s.Entry.ID == r.entry.ID }) {
			w.violated(ReadsOwn, "%s saved %s and does not find it in %s", p.name, r.entry.ID, key)
		}
		w.checkFold(p.name, key, p.disk.of(key), nil)
	}
	w.checkOwn(p)
}

// checkOwn: a phone has all that it called saved, and what it takes for delivered was acknowledged.
func (w *world) checkOwn(p *phone) {
	w.checked(ReadsOwn)
	for id := range p.saved {
		r, ok := p.disk.rows[id]
		if !ok {
			w.violated(ReadsOwn, "%s has no more the note %s that it called saved", p.name, id)
			return
		}
		if r.own && !r.pending && !r.seen && !w.acked[id] {
			w.violated(NeverLost, "%s takes note %s for delivered, which the server never acknowledged", p.name, id)
			return
		}
	}
}

// checkLag, when an app starts anew, asks that it finds its cursor as far ahead of what it has counted as it was when
// the last page was whole (not at all, but for what a rewind left to be sent again).
func (w *world) checkLag(p *phone) {
	w.checked(CursorGoes)
	if lag := p.disk.lag(); lag != p.lag {
		w.violated(CursorGoes, "%s starts with its cursor at %d and %d entries fewer than it stands for", p.name, p.disk.cursor.position, lag-p.lag)
	}
}

// checkFold compares a record with the naive one. Record is what a server keeps; a phone's is folded here.
func (w *world) checkFold(who, key string, set []schema.Stamped, record []byte) {
	w.checked(LikeNaive)
	if record == nil {
		made, ok := folded(key, set, w.plant)
		if ok {
			var err error
			if record, err = fold.Text(made); err != nil {
				w.broken(err)
				return
			}
		} else {
			record = []byte("null")
		}
	}
	wanted, err := json.Marshal(Naive(key, set))
	if err != nil {
		w.broken(err)
		return
	}
	if a, b := w.rewritten(record), w.rewritten(wanted); a != b {
		w.violated(LikeNaive, "%s of %s is\n%s\nand by the naive fold\n%s", key, who, a, b)
	}
}

// rewritten writes JSON in one way, whoever wrote it.
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

// checkDigest sums anew, with other arithmetic, what went into a phone's digest.
func (w *world) checkDigest(p *phone, d schema.Digest) {
	w.checked(DigestTrue)
	modulus := new(big.Int).Lsh(big.NewInt(1), 128)
	for _, lot := range d.Lots {
		sum := new(big.Int)
		for _, counted := range p.disk.counted[lot.Lot] {
			hash := sha256.Sum256([]byte(counted))
			sum.Add(sum, new(big.Int).SetBytes(hash[:16]))
		}
		if want := fmt.Sprintf("%032x", sum.Mod(sum, modulus)); want != lot.Sum {
			w.violated(DigestTrue, "%s tells %s for lot %q, but what it holds sums to %s", p.name, lot.Sum, lot.Lot, want)
			return
		}
	}
}
