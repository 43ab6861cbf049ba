package journal

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// filePrefix begins the name under which notes are filed that nothing vouches for. No device has such a name: theirs
// are hexadecimal digits.
const filePrefix = "file"

// WriterOf is the device that wrote a quarantined entry: for one that came in another way than from its device, the one that
// it names itself.
func (w Quarantined) WriterOf() string {
	other := strings.HasPrefix(w.Device, filePrefix) || strings.HasPrefix(w.Device, backPrefix) || strings.HasPrefix(w.Device, lostPrefix)
	if other && w.Entry.Device != "" {
		return w.Entry.Device
	}
	return w.Device
}

// Ways in which quarantined notes came, besides from their own device, as schema.QuarantineCount names them.
const (
	WayFile     = "file"
	WayReturned = "returned"
)

// Bringer says by which device the quarantined notes of a writer came in, and in which way: the writer itself and "" for
// notes that it sent, the phone that handed them back, nobody for those of a file.
func Bringer(writer string) (device, way string) {
	if strings.HasPrefix(writer, filePrefix) {
		return "", WayFile
	}
	if phone, found := strings.CutPrefix(writer, backPrefix); found {
		return phone, WayReturned
	}
	return writer, ""
}

// ImportResult counts what became of the notes of a file. Known were here already; Quarantined wait for a decision.
type ImportResult struct{ Merged, Known, Quarantined int }

func (t *ImportResult) add(given []schema.Given) {
	for _, g := range given {
		if g.State == "merged" {
			t.Merged++
		} else {
			t.Quarantined++
		}
	}
}

// SenderLookup says how the device stands that an entry names as its writer: when it was paired, and whether it was revoked.
type SenderLookup func(device string) Sender

// Import takes notes that come in another way than from their own device: in a file that a phone saved when it could no
// longer send. Those that go on where their device's chain ends are taken as if
// it had sent them, which for a revoked one means review; all others are kept under a writer of the file's own and wait
// for a decision, because nothing vouches for their order. Taking in the same notes twice changes nothing.
func (s *Store) Import(ctx context.Context, raws []json.RawMessage, standing SenderLookup) (ImportResult, error) {
	var taken ImportResult
	lines, loose := map[writerKey][]arrival{}, []json.RawMessage{}
	for _, raw := range raws {
		known, err := s.holds(ctx, raw)
		if err != nil {
			return taken, err
		}
		entry, err := journal.Parse(raw)
		switch {
		case known:
			taken.Known++
		case err != nil || entry.Seq < 1 || entry.Device == "":
			loose = append(loose, raw)
		default:
			key := writerKey{entry.Device, entry.Incarnation}
			lines[key] = append(lines[key], arrival{raw: raw, seq: entry.Seq})
		}
	}
	for key, line := range lines {
		rest, err := s.appendToChain(ctx, key, line, standing(key.device), &taken)
		if err != nil {
			return taken, err
		}
		loose = append(loose, rest...)
	}
	return taken, s.quarantineUnchained(ctx, loose, &taken)
}

// holds is true for a note that is here byte for byte or under its id, in the journal or in quarantine.
func (s *Store) holds(ctx context.Context, raw []byte) (known bool, err error) {
	entry, _ := journal.Parse(raw)
	err = s.site.Read(ctx, func(snap Snap) error {
		first, found, err := snap.Held(entry.ID, raw)
		if err != nil || !found {
			return err
		}
		if first.Bytes == nil {
			return damaged(first.Position)
		}
		was, _ := journal.Parse(first.Bytes)
		known = bytes.Equal(first.Bytes, raw) || sameNote(was, entry)
		return nil
	})
	return known, err
}

// appendToChain pushes what continues a device's chain, and returns what does not.
func (s *Store) appendToChain(ctx context.Context, key writerKey, line []arrival, from Sender, taken *ImportResult) (rest []json.RawMessage, err error) {
	slices.SortStableFunc(line, func(a, b arrival) int { return cmp.Compare(a.seq, b.seq) })
	var w writer
	if err := s.site.Read(ctx, func(snap Snap) error {
		w, err = writerIn(snap, key)
		return err
	}); err != nil {
		return nil, err
	}
	next := []json.RawMessage{}
	for _, a := range line {
		if w.n > 0 && a.seq == w.high+1+int64(len(next)) {
			next = append(next, a.raw)
		} else {
			rest = append(rest, a.raw)
		}
	}
	from.Device, from.Elsewhere = key.device, true
	err = s.inBatches(ctx, key, w.high, w.chain, next, from, taken)
	if isRefusal(err) {
		// The device itself has just sent something else under these numbers.
		return append(rest, next...), nil
	}
	return rest, err
}

func (s *Store) quarantineUnchained(ctx context.Context, loose []json.RawMessage, taken *ImportResult) error {
	if len(loose) == 0 {
		return nil
	}
	name, err := s.hexID(8)
	if err != nil {
		return err
	}
	key := writerKey{filePrefix + name, 1}
	return s.inBatches(ctx, key, 0, [32]byte{}, loose, Sender{Device: key.device, Elsewhere: true}, taken)
}

// inBatches pushes entries in batches of the size that phones use.
func (s *Store) inBatches(ctx context.Context, key writerKey, high int64, chain [32]byte, raws []json.RawMessage, from Sender, taken *ImportResult) error {
	const most = 500
	for len(raws) > 0 {
		n := min(most, len(raws))
		answer, err := s.Push(ctx, schema.Push{
			V: schema.Version, Device: key.device, Incarnation: key.inc, From: high + 1, Chain: journal.ChainHex(chain),
			Session: "file", SentWall: s.NowMS(), Entries: raws[:n],
		}, from)
		if err != nil {
			return err
		}
		taken.add(answer.Given)
		for _, raw := range raws[:n] {
			chain = journal.Chain(chain, raw)
		}
		high, raws = high+int64(n), raws[n:]
	}
	return nil
}
