package journal

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Notes that a phone hands back are filed under writers of their own, so that the chain of the device that wrote them
// stands where that device left it. No device has such a name: theirs are hexadecimal digits. Under lostPrefix and the
// writing device stand those that a receipt vouches for, under backPrefix and the phone that gave them all others.
const (
	lostPrefix = "lost"
	backPrefix = "back"
)

// MaxUnproven is how many notes one phone may hand back without a valid receipt before somebody has decided on them.
const MaxUnproven = 2000

// A phone may show so many wrong receipts at once, and so many more an hour; after that none of its receipts is looked
// at. Of 2^36 receipts one is right: who guesses all year long and is not stopped by what stands on the Phones page
// meanwhile has one chance in 78,000.
const (
	wrongAtOnce  = 1000
	wrongAnHour  = 100
	wrongDevices = 10000
)

// wrongs counts wrong receipts by the phone that showed them.
type wrongs struct {
	mu   sync.Mutex
	each map[string]*rate.Limiter
}

func (w *wrongs) of(device string) *rate.Limiter {
	w.mu.Lock()
	defer w.mu.Unlock()
	l, ok := w.each[device]
	if !ok {
		if w.each == nil || len(w.each) >= wrongDevices {
			w.each = map[string]*rate.Limiter{}
		}
		l = rate.NewLimiter(rate.Every(time.Hour/wrongAnHour), wrongAtOnce)
		w.each[device] = l
	}
	return l
}

// givenBack is one entry that a phone hands back. Receipt is what it shows with it, and proven whether the server made that.
type givenBack struct {
	arrival
	receipt schema.Receipt
	proven  bool
}

// HandBack takes from one phone what others wrote and it once pulled from here: what was lost when the server was set
// back, of phones that may be gone. What a receipt proves to have been in the journal is merged again, with the stamp
// that it had: who may write it was settled when it was accepted first, even where its writer's access was taken back
// since. All else waits for a decision. It counts what became of them; an error that is a *schema.Problem says that the phone
// must first pull in the present epoch, and then nothing was kept.
func (s *Store) HandBack(ctx context.Context, by string, h schema.HandBack) (answer schema.HandedBack, err error) {
	if h.Epoch != s.Epoch() {
		point, err := s.forkPoint(ctx, h.Epoch)
		if err != nil {
			return answer, err
		}
		return answer, rewind(s.Epoch(), point)
	}
	all := make([]givenBack, len(h.Entries))
	for i, raw := range h.Entries {
		all[i] = s.readBack(by, raw, h.Receipts, i)
	}
	// In as many transactions as the work asks for; what is committed when a later one fails is known at the next try.
	for len(all) > 0 {
		var part schema.HandedBack
		var done int
		if err := s.write(ctx, func(b *batch) (err error) {
			hand := &handBack{intake: &intake{batch: b}, by: by, writers: map[writerKey]writer{}}
			done, err = hand.take(all)
			part = hand.answer
			return err
		}); err != nil {
			return answer, err
		}
		all = all[done:]
		answer.Merged, answer.Known, answer.Quarantined = answer.Merged+part.Merged, answer.Known+part.Known, answer.Quarantined+part.Quarantined
		answer.Refused = append(answer.Refused, part.Refused...)
	}
	if answer.Merged+answer.Quarantined == 0 {
		return answer, nil
	}
	return answer, s.File(ctx, by, "handed_back", fmt.Sprintf(
		"The phone gave back notes of others that the server had lost: %d are merged, %d wait for a decision.", answer.Merged, answer.Quarantined))
}

func (s *Store) readBack(by string, raw json.RawMessage, receipts []schema.Receipt, i int) (g givenBack) {
	g.arrival = read(raw, nil, Sender{})
	if i >= len(receipts) || receipts[i].Receipt == "" || !g.whole {
		return g
	}
	wrong := s.wrongs.of(by)
	if wrong.TokensAt(time.UnixMilli(s.clocks.mono())) < 1 {
		return g
	}
	g.receipt = receipts[i]
	if g.proven = s.keys.proves(g.receipt.Position, journal.Hash(raw, g.receipt.Stamp), g.receipt.Receipt); !g.proven {
		wrong.AllowN(time.UnixMilli(s.clocks.mono()), 1)
	}
	return g
}

// handBack is one hand-back inside its transaction.
type handBack struct {
	*intake
	by string
	// unproven counts what waits already of this phone, and its bytes.
	unproven, bytes int64
	writers         map[writerKey]writer
	answer          schema.HandedBack
}

// take finds a place for as many of the entries as one transaction can take on, and says how many.
func (h *handBack) take(all []givenBack) (done int, err error) {
	arrivals := make([]arrival, len(all))
	for i, g := range all {
		arrivals[i] = g.arrival
	}
	if done, err = h.affordable(arrivals); err != nil {
		return 0, err
	}
	if err := h.meet(arrivals[:done]); err != nil {
		return 0, err
	}
	if h.unproven, h.bytes, err = h.tx.SizeOf(backPrefix+h.by, false); err != nil {
		return 0, err
	}
	for _, g := range all[:done] {
		if err := h.one(g); err != nil {
			return 0, err
		}
	}
	for key, w := range h.writers {
		if _, err := h.saveWriter(key, w); err != nil {
			return 0, err
		}
	}
	return done, nil
}

func (h *handBack) one(g givenBack) error {
	first, here := h.ids[g.entry.ID]
	same := here && sameNote(first.entry, g.entry)
	switch undecided := first.state == "quarantined" || first.state == "review"; {
	case !g.whole:
		return h.opaque(g)
	case same && !(g.proven && undecided):
		h.answer.Known++
		return nil
	case g.proven && (!here || same):
		return h.merge(g, same)
	case here:
		g.faults = append(g.faults, schema.Fault{Field: "id", Code: schema.CodeIDTaken})
	}
	return h.review(g)
}

// merge takes an entry that was in the journal before, and settles what waited of it because nothing vouched for it then.
func (h *handBack) merge(g givenBack, waits bool) error {
	st := g.receipt.Stamp
	if st.At > h.now {
		// A stamp of a time when the server's clock was ahead is not brought back.
		st = unwitnessed(g.entry, h.now)
	}
	if faults, err := h.spoils(g.arrival, st); err != nil || len(faults) > 0 {
		g.faults = append(g.faults, faults...)
		if err != nil {
			return err
		}
		return h.review(g)
	}
	key := writerKey{lostPrefix + g.entry.Device, g.entry.Incarnation}
	w, err := h.next(key, &g.arrival)
	if err != nil {
		return err
	}
	position, err := h.batch.merge(g.arrival, w, st, h.now)
	if err != nil {
		return err
	}
	delete(h.store.memory.lost, writerKey{g.entry.Device, g.entry.Incarnation})
	h.remember(g.arrival, schema.Given{Position: position, Stamp: st, State: "merged"})
	h.answer.Merged++
	if !waits {
		return nil
	}
	return h.settle(g.entry, position)
}

// settle decides on all that waits of a note which is merged now.
func (h *handBack) settle(entry schema.Entry, position int64) error {
	known, err := h.tx.Known([]string{entry.ID})
	if err != nil {
		return err
	}
	for _, one := range known {
		if one.State != "quarantined" && one.State != "review" {
			continue
		}
		if other, err := journal.Parse(one.Bytes); err != nil || !sameNote(other, entry) {
			continue
		}
		if err := h.decided(one.N, "merged", position, ""); err != nil {
			return err
		}
	}
	return nil
}

// review keeps an entry until somebody has decided.
func (h *handBack) review(g givenBack) error {
	if h.bytes += int64(len(g.raw)); h.unproven >= MaxUnproven || h.bytes > h.store.quota.Bytes {
		h.answer.Refused = append(h.answer.Refused, g.entry.ID)
		return nil
	}
	if !g.proven {
		g.faults = append([]schema.Fault{{Field: "entry", Code: schema.CodeNoReceipt}}, g.faults...)
	}
	w, err := h.next(writerKey{backPrefix + h.by, 1}, &g.arrival)
	if err != nil {
		return err
	}
	st := unwitnessed(g.entry, h.now)
	if _, err := h.quarantine(g.arrival, w, st, "review", g.faults, 0); err != nil {
		return err
	}
	h.remember(g.arrival, schema.Given{Stamp: st, State: "review", Faults: g.faults})
	h.unproven++
	h.answer.Quarantined++
	return nil
}

// opaque is review for bytes that are no entry, which are told apart by nothing but themselves.
func (h *handBack) opaque(g givenBack) error {
	known, err := h.tx.HasOpaque(backPrefix+h.by, g.raw)
	if err == nil && !known {
		return h.review(g)
	}
	h.answer.Known++
	return err
}

// next gives an entry its number under a writer, and moves that writer's chain on.
func (h *handBack) next(key writerKey, a *arrival) (w writer, err error) {
	w, ok := h.writers[key]
	if !ok {
		if w, err = h.writerOf(key); err != nil {
			return w, err
		}
	}
	if w.n == 0 {
		if w, err = h.saveWriter(key, w); err != nil {
			return w, err
		}
	}
	w.high, w.chain = w.high+1, journal.Chain(w.chain, a.raw)
	a.seq = w.high
	h.writers[key] = w
	return w, nil
}

// unwitnessed is the stamp of an entry that did not come from its own phone, whose clock nobody could compare: between
// the newest server time that its writer had seen and now.
func unwitnessed(e schema.Entry, now int64) schema.Stamp {
	from := min(e.Floor, now)
	return schema.Stamp{At: min(max(e.Wall, from), now), Quality: schema.Bracketed, From: from, To: now}
}

// isTaken is true where a receipt has shown that one of these numbers was another entry's: the phone was copied or set
// back, as its chain would show had it sent that entry itself.
func (in *intake) isTaken(fresh []arrival) (bool, error) {
	lost, ok := in.store.memory.lost[in.key]
	if !ok {
		var err error
		if lost, err = in.handedBack(in.key); err != nil {
			return false, err
		}
		in.store.memory.lost[in.key] = lost
	}
	for _, a := range fresh {
		if raw, ok := lost[a.seq]; ok && !bytes.Equal(raw, a.raw) {
			return true, nil
		}
	}
	return false, nil
}

// handedBack are the entries of a device that others handed back with their receipts, by the number that it gave them.
func (b *batch) handedBack(key writerKey) (map[int64][]byte, error) {
	w, err := b.writerOf(writerKey{lostPrefix + key.device, key.inc})
	if err != nil || w.n == 0 {
		return nil, err
	}
	lines, err := b.tx.OfWriter(w.n)
	if err != nil {
		return nil, err
	}
	all := map[int64][]byte{}
	for _, one := range lines {
		if one.Bytes == nil {
			return nil, damaged(one.Position)
		}
		entry, err := journal.Parse(one.Bytes)
		if err != nil {
			return nil, err
		}
		all[entry.Seq] = one.Bytes
	}
	return all, nil
}
