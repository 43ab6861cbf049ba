package journal

import (
	"fmt"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/journal"
	"bedwalk/sync/stamp"
)

// intake is one push inside its transaction.
type intake struct {
	*batch
	push   schema.Push
	from   Sender
	key    writerKey
	before [32]byte
	// doubt is why no stamp can be given now, "" when one can.
	doubt          string
	w              writer
	answer         schema.PushAnswer
	ids            map[string]earlier
	quarantineSize quarantineSize
}

func (in *intake) take(arrived []arrival) error {
	var err error
	if in.w, err = in.writerOf(in.key); err != nil {
		return err
	}
	if in.push.From > in.w.high+1 {
		return gap(in.push.From, in.w.high)
	}
	known := min(int64(len(arrived)), in.w.high+1-in.push.From)
	same, err := in.repeat(arrived[:known])
	if err != nil {
		return err
	}
	chain := in.before
	for _, a := range arrived[:known] {
		chain = journal.Chain(chain, a.raw)
	}
	// Where the batch reaches the head of the chain, the chain must be the same one from its beginning.
	reaches := in.push.From+known == in.w.high+1
	if !same || reaches && chain != in.w.chain {
		return in.forked()
	}
	if fresh := arrived[known:]; len(fresh) > 0 {
		taken, err := in.isTaken(fresh)
		if err != nil {
			return err
		}
		if taken {
			return in.forked()
		}
		if err := in.add(fresh, chain); err != nil {
			return err
		}
	}
	in.answer.High = in.w.high
	return in.recordReport()
}

// forked gives the device a new incarnation; the transaction is committed for that alone.
func (in *intake) forked() error {
	inc, err := in.unusedIncarnation(in.push.Device, in.push.Incarnation)
	if err != nil {
		return err
	}
	in.refused = fork(in.w.high, inc)
	return in.file(in.push.Device, "fork", fmt.Sprintf(
		"Incarnation %d sent other entries under numbers that were taken: the phone was copied or set back. It goes on as incarnation %d.",
		in.push.Incarnation, inc))
}

func (in *intake) add(fresh []arrival, chain [32]byte) error {
	if in.doubt != "" {
		if !in.from.Own {
			return clockRefusal(in.doubt)
		}
		in.now = in.store.clock.Load()
	}
	if in.w.n == 0 {
		var err error
		if in.w, err = in.saveWriter(in.key, in.w); err != nil {
			return err
		}
	}
	n, err := in.affordable(fresh)
	if err != nil {
		return err
	}
	fresh = fresh[:n]
	if err := in.meet(fresh); err != nil {
		return err
	}
	begun := 0
	for i, a := range fresh {
		if i > 0 && in.work > max(workAtOnce, 2*begun) {
			fresh = fresh[:i]
			break
		}
		given, err := in.one(a)
		if i == 0 {
			begun = in.work
		}
		if err != nil {
			return err
		}
		chain = journal.Chain(chain, a.raw)
		in.answer.Given = append(in.answer.Given, given)
		in.w.lastAt = max(in.w.lastAt, given.Stamp.At)
	}
	in.w.high, in.w.chain = fresh[len(fresh)-1].seq, chain
	in.w, err = in.saveWriter(in.key, in.w)
	return err
}

// one finds a place for one new entry: in the journal or in quarantine.
func (in *intake) one(a arrival) (schema.Given, error) {
	given := schema.Given{ID: a.entry.ID, State: "merged", Stamp: in.stamp(a)}
	first, ok := in.ids[a.entry.ID]
	vouched := ok && first.unvouched() && sameNote(first.entry, a.entry)
	if ok && a.whole && !vouched {
		if sameNote(first.entry, a.entry) {
			if in.from.Revoked {
				if err := in.room(a); err != nil {
					return given, err
				}
			}
			given.Position, given.Stamp, given.State, given.Faults = first.position, first.stamp, wireState(first.state), first.faults
			_, err := in.quarantine(a, in.w, first.stamp, "repeat", first.faults, first.position)
			return given, err
		}
		a.faults = append(a.faults, schema.Fault{Field: "id", Code: schema.CodeIDTaken})
	}
	faults, wants, err := in.judge(a, given.Stamp)
	if err != nil {
		return given, err
	}
	switch {
	case in.from.Revoked:
		given.State = "review"
		given.Faults = append([]schema.Fault{{Field: "device", Code: schema.CodeRevoked}}, faults...)
	case len(faults) > 0:
		given.State, given.Faults = "quarantined", faults
	default:
		if given.Position, err = in.merge(a, in.w, given.Stamp, in.now); err == nil && vouched {
			err = in.decided(first.n, "merged", given.Position, "")
		}
		in.remember(a, given)
		return given, err
	}
	if err := in.room(a); err != nil {
		return given, err
	}
	if vouched {
		if err := in.decided(first.n, "repeat", 0, ""); err != nil {
			return given, err
		}
	}
	n, err := in.quarantine(a, in.w, given.Stamp, given.State, given.Faults, 0)
	if err == nil && given.State == "quarantined" {
		err = in.want(n, wants)
	}
	in.remember(a, given)
	return given, err
}

// judge lists all that keeps an entry from being merged, and the records that would cure it when nothing else does.
func (in *intake) judge(a arrival, st schema.Stamp) (faults []schema.Fault, wants []string, err error) {
	if faults = a.faults; len(faults) == 0 {
		if faults, wants, _, err = in.batch.judge(a, st); err != nil {
			return nil, nil, err
		}
	}
	if len(a.notFor) > 0 {
		// Whatever else it waits for, it also waits for somebody's word.
		return slices.Concat(a.notFor, faults), nil, nil
	}
	return faults, wants, nil
}

func (in *intake) stamp(a arrival) schema.Stamp {
	return stamp.Give(stamp.In{
		Entry: a.entry, Session: in.push.Session, SentWall: in.push.SentWall, SentMono: in.push.SentMono,
		Now: in.now, Last: in.w.lastAt, Enrolled: in.from.PairedAt,
	})
}

// recordReport keeps what the push says about the phone itself.
func (in *intake) recordReport() error {
	if in.from.Elsewhere {
		return nil
	}
	r, known, err := in.tx.ReportOf(in.push.Device)
	if err != nil || known && isLate(in.push.SentWall, r.sent()) {
		return err
	}
	r.Device, r.At, r.Pending, r.SkewMS = in.push.Device, in.now, in.push.Pending, in.push.SentWall-in.now
	return in.tx.PutReport(r)
}
