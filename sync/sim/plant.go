package sim

import (
	"encoding/json"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Plant is a fault put into the simulated system on purpose, to see that a checker finds it. Outside the tests of the
// checkers it is always Sound.
type Plant string

const (
	Sound            Plant = ""
	AckBeforeCommit  Plant = "acknowledge before commit"
	NoDedupe         Plant = "no dedupe"
	CursorBeforeData Plant = "cursor before data"
	GapAccepted      Plant = "gap accepted"
	ErrorAsDelivered Plant = "500 taken as delivered"
	DropOn401        Plant = "queue dropped on 401"
	EpochIgnored     Plant = "epoch ignored"
	RetryOnlyOnWrite Plant = "retry only on the next write"
	XorForSum        Plant = "XOR in place of sum"
	LastWriterWins   Plant = "last writer drops the other value"
	FloatSums        Plant = "float sums"
	ClampRemoved     Plant = "clamp removed"

	// ghostDevice is under whose name a server without dedupe keeps what it has already.
	ghostDevice = "00000000deadbeef"
)

// Plants are all planted faults.
var Plants = []Plant{
	AckBeforeCommit, NoDedupe, CursorBeforeData, GapAccepted, ErrorAsDelivered, DropOn401,
	EpochIgnored, RetryOnlyOnWrite, XorForSum, LastWriterWins, FloatSums, ClampRemoved,
}

// add is the digest's sum, or what stands in its place.
func add(a, b journal.Sum, plant Plant) journal.Sum {
	if plant != XorForSum {
		return a.Add(b)
	}
	for i := range a {
		a[i] ^= b[i]
	}
	return a
}

// folded is the fold of a device under test, or what stands in its place.
func folded(key string, set []schema.Stamped, plant Plant) (schema.Record, bool) {
	record, made := fold.Fold(key, set)
	switch {
	case !made:
	case plant == LastWriterWins && record.Register != nil:
		for name, field := range record.Register.Fields {
			field.Others, field.Live = nil, []string{field.By.Entry}
			record.Register.Fields[name] = field
		}
	case plant == FloatSums && record.Stock != nil:
		// Pots kept in hundreds, as a float, and cut off at the end.
		sum := 0.0
		for _, pots := range record.Stock.BySpan {
			sum += float64(pots) / 100
		}
		record.Stock.Pots = int(sum * 100)
	}
	return record, made
}

// faultyHost is a real host with one fault put in front of it.
type faultyHost struct {
	Host
	plant  Plant
	chance func(percent int) bool
	died   func()
	stored map[string]bool
}

func (h *faultyHost) Push(p schema.Push, from Sender) (schema.PushAnswer, error) {
	switch h.plant {
	case AckBeforeCommit:
		return h.pushUncommitted(p, from)
	case NoDedupe:
		return h.pushTwice(p, from)
	case GapAccepted:
		return h.pushOverGap(p, from)
	case EpochIgnored:
		p.Epoch = ""
	}
	answer, err := h.Host.Push(p, from)
	if h.plant == ClampRemoved {
		h.unclampGiven(&answer, p)
	}
	return answer, err
}

// pushUncommitted answers as if all were on the disk, and then dies before it is.
func (h *faultyHost) pushUncommitted(p schema.Push, from Sender) (schema.PushAnswer, error) {
	if !h.chance(6) {
		return h.Host.Push(p, from)
	}
	before, err := h.Host.Backup()
	if err != nil {
		return schema.PushAnswer{}, err
	}
	answer, err := h.Host.Push(p, from)
	if err != nil {
		return answer, err
	}
	if err := h.Host.Stop(); err != nil {
		return answer, err
	}
	h.died()
	return answer, h.Host.Restore(before, true)
}

// pushTwice keeps again what it has already, under a number of its own making.
func (h *faultyHost) pushTwice(p schema.Push, from Sender) (schema.PushAnswer, error) {
	answer, err := h.Host.Push(p, from)
	if err != nil || from.Revoked {
		return answer, err
	}
	for i, raw := range p.Entries {
		entry, err := journal.Parse(raw)
		if err != nil || answer.Given[i].State != "merged" {
			continue
		}
		if !h.stored[entry.ID] {
			h.stored[entry.ID] = true
			continue
		}
		if err := h.keepGhost(entry); err != nil {
			return answer, err
		}
	}
	return answer, nil
}

func (h *faultyHost) keepGhost(entry schema.Entry) error {
	inc, err := h.Host.Incarnation(ghostDevice)
	if err != nil {
		return err
	}
	entry.ID = entry.ID[16:] + entry.ID[:16]
	entry.Device, entry.Incarnation, entry.Seq = ghostDevice, inc, 1
	raw, err := journal.Encode(entry)
	if err != nil {
		return err
	}
	_, err = h.Host.Push(schema.Push{V: 1, Device: entry.Device, Incarnation: inc, From: 1, Session: "ghost",
		SentWall: entry.Wall, Entries: []json.RawMessage{raw}}, Sender{})
	return err
}

func (h *faultyHost) pushOverGap(p schema.Push, from Sender) (schema.PushAnswer, error) {
	answer, err := h.Host.Push(p, from)
	if problem, ok := err.(*Problem); ok && problem.Code == "gap" {
		if err := h.Host.SkipTo(p.Device, p.Incarnation, p.From-1, p.Chain); err != nil {
			return answer, err
		}
		return h.Host.Push(p, from)
	}
	return answer, err
}

func (h *faultyHost) Pull(device, epoch string, after int64, limit int, proof string) (schema.Pull, error) {
	if h.plant == EpochIgnored {
		dump, err := h.Host.Dump()
		if err != nil {
			return schema.Pull{}, err
		}
		epoch, after = dump.Epoch, min(after, dump.Head)
	}
	page, err := h.Host.Pull(device, epoch, after, limit, proof)
	if h.plant == ClampRemoved {
		for i := range page.Items {
			page.Items[i].Stamp = unclamped(page.Items[i].Entry, page.Items[i].Stamp)
		}
	}
	return page, err
}

// Compare under a fault that changes what is digested reckons from the dump with the same fault, as a server would
// that has the fault all through.
func (h *faultyHost) Compare(d schema.Digest) (schema.DigestAnswer, error) {
	if h.plant == EpochIgnored {
		dump, err := h.Host.Dump()
		if err != nil {
			return schema.DigestAnswer{}, err
		}
		d.Epoch, d.Position = dump.Epoch, min(d.Position, dump.Head)
	}
	answer, err := h.Host.Compare(d)
	if err != nil || h.plant != XorForSum && h.plant != ClampRemoved {
		return answer, err
	}
	dump, err := h.Dump()
	if err != nil {
		return answer, err
	}
	own := map[string]lotSum{}
	for _, k := range dump.Merged {
		if k.Position > d.Position {
			continue
		}
		entry, err := journal.Parse(k.Raw)
		if err != nil {
			return answer, err
		}
		sum := own[entry.Lot]
		own[entry.Lot] = lotSum{sum.count + 1, add(sum.sum, journal.Hash(k.Raw, k.Stamp), h.plant)}
	}
	answer.Equal = len(own) == len(d.Lots) && !slices.ContainsFunc(d.Lots, func(l schema.LotDigest) bool {
		return own[l.Lot].count != l.Count || own[l.Lot].sum.String() != l.Sum
	})
	return answer, nil
}

// Dump shows what a server with the fault would hold.
func (h *faultyHost) Dump() (Dump, error) {
	dump, err := h.Host.Dump()
	if err != nil {
		return dump, err
	}
	switch h.plant {
	case ClampRemoved:
		for i := range dump.Merged {
			dump.Merged[i].Stamp = unclamped(dump.Merged[i].Raw, dump.Merged[i].Stamp)
		}
	case LastWriterWins, FloatSums:
	default:
		return dump, nil
	}
	err = dump.refold(h.plant)
	return dump, err
}

func (d *Dump) refold(plant Plant) error {
	sets := map[string][]schema.Stamped{}
	for _, k := range d.Merged {
		entry, err := journal.Parse(k.Raw)
		if err != nil {
			return err
		}
		for _, key := range fold.Keys(entry) {
			sets[key] = append(sets[key], schema.Stamped{Entry: entry, Stamp: k.Stamp, Position: k.Position})
		}
	}
	d.Records = map[string][]byte{}
	for key, set := range sets {
		record, made := folded(key, set, plant)
		if !made {
			continue
		}
		raw, err := fold.Text(record)
		if err != nil {
			return err
		}
		d.Records[key] = raw
	}
	return nil
}

// unclamped takes the phone's clock at its word.
func unclamped(raw []byte, given schema.Stamp) schema.Stamp {
	entry, err := journal.Parse(raw)
	if err != nil {
		return given
	}
	return schema.Stamp{At: entry.Wall, Quality: schema.Exact, From: entry.Wall, To: entry.Wall}
}

func (h *faultyHost) unclampGiven(answer *schema.PushAnswer, p schema.Push) {
	for i := range answer.Given {
		answer.Given[i].Stamp = unclamped(p.Entries[i], answer.Given[i].Stamp)
	}
}
