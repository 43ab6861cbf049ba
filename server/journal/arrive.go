package journal

import (
	"encoding/json"
	"fmt"
	"runtime"
	"strconv"
	"sync"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// MaxEntryBytes bounds one entry; a longer one is kept and held. The longest that a screen can make (a recount with
// the basis of a thousand phones) is about 45,000.
const MaxEntryBytes = 64 << 10

// Codes of the faults for which an entry is held before its fields are even looked at.
const (
	CodeTooLarge     = "too_large"
	CodeOpaque       = "opaque"
	CodeNotCanonical = "not_canonical"
	CodeWrongPlace   = "wrong_place"
	CodeIDTaken      = "id_taken"
	CodeRevoked      = "revoked"
	CodeUnwritable   = "unwritable"
	CodeNoReceipt    = "no_receipt"
)

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
	hold := func(field, code, limit, message string) arrival {
		a.faults = append(a.faults, schema.Fault{Field: field, Code: code, Limit: limit, Message: message})
		return a
	}
	if len(raw) > MaxEntryBytes {
		return hold("entry", CodeTooLarge, strconv.Itoa(MaxEntryBytes), fmt.Sprintf(
			"The entry has %d bytes, which is more than %d. It is kept; write it again in shorter parts.", len(raw), MaxEntryBytes))
	}
	if len(raw) == 0 || raw[0] == '"' {
		return hold("entry", CodeOpaque, "", "The phone could not send this entry as JSON, so it sent the bytes. They are kept; write the note again by hand.")
	}
	canonical, err := journal.Check(raw)
	if err != nil {
		return hold("entry", string(journal.CodeOf(err)), "", "The entry cannot be read: "+err.Error()+". It is kept; write the note again by hand.")
	}
	if a.entry, err = journal.Parse(raw); err != nil {
		return hold("entry", string(journal.CodeOf(err)), "", "The entry cannot be read: "+err.Error()+". It is kept; write the note again by hand.")
	}
	a.whole = true
	if !canonical {
		return hold("entry", CodeNotCanonical, "RFC 8785", "The entry is not in canonical form, so no two devices would agree on its hash. It is kept; update the phone's app and write the note again.")
	}
	if a.entry.Device != device || a.entry.Incarnation != incarnation || a.entry.Seq != seq {
		return hold("seq", CodeWrongPlace, fmt.Sprintf("%s.%d, %d", device, incarnation, seq), fmt.Sprintf(
			"The entry says that it is number %d of %s.%d, but it stood at number %d of %s.%d. It is kept; write the note again.",
			a.entry.Seq, a.entry.Device, a.entry.Incarnation, seq, device, incarnation))
	}
	a.faults = schema.Check(a.entry)
	a.keys = fold.Keys(a.entry)
	return a
}

// mergeable is false for what no decision can merge: the other devices could not agree on its bytes or file it, or a
// lot's pots could no longer be added up, which would stop every later note of that lot.
func (a arrival) mergeable() bool {
	for _, f := range a.faults {
		switch {
		case f.Code == CodeNotCanonical, f.Code == CodeIDTaken:
			return false
		case f.Code == schema.CodeOutOfRange && fold.IsLedger(a.entry.Kind):
			return false
		}
	}
	return a.whole && len(schema.CheckEnvelope(a.entry)) == 0
}
