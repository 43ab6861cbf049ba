package journal

import (
	"encoding/json"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// MaxEntryBytes bounds one entry; a longer one is kept in quarantine. The longest that a screen can make (a recount with
// the basis of a thousand phones) is about 45,000.
const MaxEntryBytes = 64 << 10

// arrival is one entry of a batch as it was read, before anything is asked of the journal. Bytes that are not an entry
// have only raw, seq and faults; they are kept like all others.
type arrival struct {
	raw   []byte
	seq   int64
	entry schema.Entry
	// body is a pointer to the struct of the entry's kind, nil where there are faults or the kind is unknown.
	body   any
	whole  bool
	faults []schema.Fault
	// notFor are faults of who sent the entry, not of what it says: see schema.CheckRole and schema.CheckPerson.
	notFor []schema.Fault
	keys   []string
}

// numbered is the place of an entry in its device's own journal.
type numbered struct {
	writerKey
	seq int64
}

func (n numbered) String() string { return fmt.Sprintf("%.32s.%d.%d", n.device, n.inc, n.seq) }

// readAll reads a batch outside the write lock and on all cores, because reading costs as much as writing.
func readAll(p schema.Push, from Sender) []arrival {
	all := make([]arrival, len(p.Entries))
	share := max(64, (len(all)+runtime.GOMAXPROCS(0)-1)/runtime.GOMAXPROCS(0))
	var wait sync.WaitGroup
	for first := 0; first < len(all); first += share {
		wait.Go(func() {
			for i := first; i < min(first+share, len(all)); i++ {
				all[i] = read(p.Entries[i], &numbered{writerKey{p.Device, p.Incarnation}, p.From + int64(i)}, from)
			}
		})
	}
	wait.Wait()
	return all
}

// read reads the bytes of an entry, once and in one direction: bytes to values, values to the struct of its kind, and the
// struct to what is wrong with it by itself and for its sender. It has to name its place, at, except where that is nil:
// then the entry is taken at its word.
func read(raw json.RawMessage, at *numbered, from Sender) arrival {
	a := arrival{raw: raw}
	if at != nil {
		a.seq = at.seq
	}
	reject := func(f schema.Fault) arrival {
		a.faults = append(a.faults, f)
		return a
	}
	if len(raw) > MaxEntryBytes {
		most := int64(MaxEntryBytes)
		return reject(schema.Fault{Field: "entry", Code: schema.CodeTooLarge, Value: len(raw), Max: &most, Unit: schema.UnitBytes})
	}
	if len(raw) == 0 || raw[0] == '"' {
		return reject(schema.Fault{Field: "entry", Code: schema.CodeOpaque})
	}
	arrived, err := journal.Read(raw)
	if err != nil {
		return reject(journal.FaultOf(err))
	}
	a.whole, a.entry = true, arrived.Entry
	a.notFor = append(schema.CheckRole(a.entry, arrived.Body, from.Role), schema.CheckPerson(a.entry, from.People)...)
	named := numbered{writerKey{a.entry.Device, a.entry.Incarnation}, a.entry.Seq}
	if at == nil {
		at, a.seq = &named, named.seq
	}
	if !arrived.Canonical {
		return reject(schema.Fault{Field: "entry", Code: schema.CodeNotCanonical})
	}
	if named != *at {
		return reject(schema.Fault{Field: "seq", Code: schema.CodeWrongPlace, Value: named.String(), OtherValue: at.String()})
	}
	a.body, a.faults = schema.Check(a.entry, arrived.Body)
	a.keys = fold.Keys(a.entry)
	return a
}

// longestKey is how many bytes the key of a record has at most: an index of PostgreSQL has no room for one of some thousands. A sound one has under 100.
const longestKey = 500

// mergeable is false for what no decision can merge: the other devices could not agree on its bytes or file it, or a
// lot's pots could no longer be added up, which would stop every later note of that lot.
func (a arrival) mergeable() bool {
	if slices.ContainsFunc(a.keys, func(key string) bool { return len(key) > longestKey }) {
		return false
	}
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
