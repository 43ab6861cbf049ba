package journal

import (
	"encoding/json"
	"fmt"
	"runtime"
	"sync"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// MaxEntryBytes bounds one entry; a longer one is kept and held. The longest that a screen can make (a recount with
// the basis of a thousand phones) is about 45,000.
const MaxEntryBytes = 64 << 10

// arrival is one entry of a batch as it was read, before anything is asked of the journal. Bytes that are no entry
// have only raw, seq and faults; they are kept like all others.
type arrival struct {
	raw    []byte
	seq    int64
	entry  schema.Entry
	whole  bool
	faults []schema.Fault
	keys   []string
}

// readAll reads a batch outside the write lock and on all cores, because reading costs as much as writing.
func readAll(p schema.Push) []arrival {
	all := make([]arrival, len(p.Entries))
	share := max(64, (len(all)+runtime.GOMAXPROCS(0)-1)/runtime.GOMAXPROCS(0))
	var wait sync.WaitGroup
	for from := 0; from < len(all); from += share {
		wait.Go(func() {
			for i := from; i < min(from+share, len(all)); i++ {
				all[i] = read(p.Entries[i], p.Device, p.Incarnation, p.From+int64(i))
			}
		})
	}
	wait.Wait()
	return all
}

func read(raw json.RawMessage, device string, incarnation int, seq int64) arrival {
	a := arrival{raw: raw, seq: seq}
	hold := func(f schema.Fault) arrival {
		a.faults = append(a.faults, f)
		return a
	}
	if len(raw) > MaxEntryBytes {
		most := int64(MaxEntryBytes)
		return hold(schema.Fault{Field: "entry", Code: schema.CodeTooLarge, Value: len(raw), Max: &most, Unit: schema.UnitBytes})
	}
	if len(raw) == 0 || raw[0] == '"' {
		return hold(schema.Fault{Field: "entry", Code: schema.CodeOpaque})
	}
	canonical, err := journal.Check(raw)
	if err != nil {
		return hold(journal.FaultOf(err))
	}
	if a.entry, err = journal.Parse(raw); err != nil {
		return hold(journal.FaultOf(err))
	}
	a.whole = true
	if !canonical {
		return hold(schema.Fault{Field: "entry", Code: schema.CodeNotCanonical})
	}
	if a.entry.Device != device || a.entry.Incarnation != incarnation || a.entry.Seq != seq {
		return hold(schema.Fault{
			Field: "seq", Code: schema.CodeWrongPlace, Value: place(a.entry.Device, a.entry.Incarnation, a.entry.Seq),
			OtherValue: place(device, incarnation, seq),
		})
	}
	a.faults = schema.Check(a.entry)
	a.keys = fold.Keys(a.entry)
	return a
}

// place is the number of an entry in its device's own journal, in words of the journal: device.incarnation.number.
func place(device string, incarnation int, seq int64) string {
	return fmt.Sprintf("%.32s.%d.%d", device, incarnation, seq)
}

// mergeable is false for what no decision can merge: the other devices could not agree on its bytes or file it, or a
// lot's pots could no longer be added up, which would stop every later note of that lot.
func (a arrival) mergeable() bool {
	for _, f := range a.faults {
		switch {
		case f.Code == schema.CodeNotCanonical, f.Code == schema.CodeIDTaken:
			return false
		case f.Code == schema.CodeOutOfRange && fold.IsLedger(a.entry.Kind):
			return false
		}
	}
	return a.whole && len(schema.CheckEnvelope(a.entry)) == 0
}
