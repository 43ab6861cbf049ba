package journal

import (
	"context"
	"encoding/hex"
	"errors"
	"net/http"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Sender is what the server knows of the device that pushes: when it was paired (milliseconds since 1970, 0 where that
// is not known), its role, by which it may write one thing and not another ("" where that is not asked: see
// schema.CheckRole), in whose names it may write (nil where that is not asked: the server's own entries), and whether it
// was revoked, in which case its entries go to review. Elsewhere is set for entries
// that the device did not send itself, so that nothing is learnt of it.
type Sender struct {
	Device    string
	PairedAt  int64
	Role      string
	People    []string
	Revoked   bool
	Elsewhere bool
	// Own is set for the server's own entries.
	Own bool
}

// Push takes a batch: everything in it is on the disk, in the journal or aside, when it returns without an error.
// Entries that were taken before are answered as then. The error is a *schema.Problem where the device must do something
// else, and then nothing was kept.
func (s *Store) Push(ctx context.Context, p schema.Push, from Sender) (schema.PushAnswer, error) {
	if len(p.Entries) == 0 {
		return schema.PushAnswer{}, &schema.Problem{Status: http.StatusBadRequest, Code: CodeNoEntry, Detail: "The batch has no entries.", Remedy: "Send at least one."}
	}
	before, err := journal.ParseChain(p.Chain)
	if err != nil {
		return schema.PushAnswer{}, &schema.Problem{Status: http.StatusBadRequest, Code: CodeBadChain, Detail: "The chain hash cannot be read.", Remedy: err.Error()}
	}
	if p.Epoch != "" && p.Epoch != s.Epoch() {
		point, err := s.forkPoint(ctx, p.Epoch)
		if err != nil {
			return schema.PushAnswer{}, err
		}
		return schema.PushAnswer{}, rewind(s.Epoch(), point)
	}
	answer, err := s.takeAll(ctx, p, from, before)
	if refusal := (*schema.Problem)(nil); errors.As(err, &refusal) && refusal.Code == CodeQuarantineFull {
		err = errors.Join(err, s.File(ctx, p.Device, CodeQuarantineFull, refusal.Detail))
	}
	if err != nil {
		return schema.PushAnswer{}, err
	}
	answer.Epoch, answer.Head, answer.ServerNow, answer.BackedUpTo = s.Epoch(), s.Head(), s.passedMS(), s.BackedUpTo()
	return answer, nil
}

// takeAll takes a batch in as many transactions as its work asks for, so that nobody else waits for all of it: what is
// committed when a later one fails is answered as a repeat at the next try.
func (s *Store) takeAll(ctx context.Context, p schema.Push, from Sender, before [32]byte) (answer schema.PushAnswer, err error) {
	doubt, err := s.settleClock(ctx)
	if err != nil {
		return schema.PushAnswer{}, err
	}
	arrived := readAll(p, from)
	for len(arrived) > 0 {
		var part schema.PushAnswer
		var refused *schema.Problem
		err := s.write(ctx, func(b *batch) error {
			in := &intake{batch: b, push: p, from: from, key: writerKey{p.Device, p.Incarnation}, before: before, doubt: doubt}
			if err := in.take(arrived); err != nil {
				return err
			}
			part, refused = in.answer, b.refused
			return nil
		})
		switch {
		case err != nil:
			return answer, s.fileRefusal(ctx, err)
		case refused != nil:
			return answer, refused
		}
		answer.High = part.High
		answer.Given = append(answer.Given, part.Given...)
		for _, a := range arrived[:len(part.Given)] {
			before = journal.Chain(before, a.raw)
		}
		p.From += int64(len(part.Given))
		arrived = arrived[len(part.Given):]
	}
	return answer, nil
}

// unusedIncarnation is the newest one of the device where it lies above the one given and nothing has arrived under it,
// or else a new one: who asks again and again gets one row. Of two copies of a phone that get the same, the second to
// send is told that it is a copy, as with every other.
func (b *batch) unusedIncarnation(device string, above int) (inc int, err error) {
	inc, c, found, err := b.tx.NewestChain(device)
	if err != nil {
		return 0, err
	}
	if found && inc > above && c.High == 0 {
		return inc, nil
	}
	return b.newIncarnation(device)
}

// newIncarnation adds a writer for the device, one above all that it ever had. After the last that a note can name there
// is none: only a device that counted on its own comes there, and pairing again makes it a new one.
func (b *batch) newIncarnation(device string) (inc int, err error) {
	newest, _, _, err := b.tx.NewestChain(device)
	if err != nil {
		return 0, err
	}
	if inc = newest + 1; inc > schema.MaxIncarnation {
		return 0, &schema.Problem{Status: http.StatusBadRequest, Code: CodeNoIncarnation, Detail: "This phone has used up its incarnations.",
			Remedy: "Pair it again with a new code; its notes stay on it and are sent then."}
	}
	_, err = b.saveWriter(writerKey{device, inc}, writer{})
	return inc, err
}

// Incarnation gives a device that asks for one an incarnation under which nothing has arrived.
func (s *Store) Incarnation(ctx context.Context, device string) (inc int, err error) {
	err = s.write(ctx, func(b *batch) error {
		inc, err = b.unusedIncarnation(device, 0)
		return err
	})
	return inc, err
}

// Writer tells a device where it stands: its newest incarnation (1 when it has never written), and the sequence and
// chain hash up to which that incarnation is at the server.
func (s *Store) Writer(ctx context.Context, device string) (inc int, high int64, chain string, err error) {
	var c Chain
	var found bool
	err = s.site.Read(ctx, func(snap Snap) error {
		inc, c, found, err = snap.NewestChain(device)
		return err
	})
	switch {
	case err == nil && !found:
		return 1, 0, "", nil
	case c.High == 0:
		return inc, 0, "", err
	}
	return inc, c.High, hex.EncodeToString(c.Hash[:]), err
}
