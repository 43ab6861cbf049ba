package sim

import (
	"fmt"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// disk is what a phone keeps: what is here survives a kill, and is copied when a phone is cloned or set back.
type disk struct {
	writer writer
	cursor cursor
	rows   map[string]row
	sums   map[string]lotSum
	// counted is, by lot, what went into the sums, for the checker that sums it again by itself.
	counted map[string][]string
}

// writer is who writes here, up to which number, and the newest server time seen.
type writer struct {
	device string
	inc    int
	person string
	seq    int64
	chain  [32]byte
	floor  int64
}

type cursor struct {
	epoch    string
	position int64
}

type lotSum struct {
	count int
	sum   journal.Sum
}

// row is one entry on a phone. Entry is what counts, once it came by a pull the server's, under whose number it may be
// an earlier one; raw is its bytes, or the bytes as this phone chained them where it is the phone's own. State is "" for
// one that counts, else "held" or "review". Own is set for what this phone can send again, under own's number; chain is
// the hash after it.
type row struct {
	entry    schema.Entry
	raw      []byte
	inc      int
	seq      int64
	stamp    schema.Stamp
	position int64
	keys     []string
	pending  bool
	own      bool
	state    string
	chain    [32]byte
	// seen is set when the entry came by a pull, at its position: only then the server surely has it. orphan is since
	// when another's note is missing at the server; handed is set after this phone gave it back.
	seen   bool
	orphan int64
	handed bool
	// receipt is what came with it by the last pull that showed it; its position there is the receipt's own.
	receipt schema.Receipt
}

func newDisk() *disk {
	d := &disk{rows: map[string]row{}}
	d.resetSums()
	return d
}

func (d *disk) resetSums() { d.sums, d.counted = map[string]lotSum{}, map[string][]string{} }

func (d *disk) copy() *disk {
	other := *d
	other.rows, other.sums, other.counted = maps.Clone(d.rows), maps.Clone(d.sums), map[string][]string{}
	for lot, list := range d.counted {
		other.counted[lot] = slices.Clone(list)
	}
	return &other
}

func pendingStamp(e schema.Entry) schema.Stamp {
	return schema.Stamp{At: e.Wall, Quality: schema.Pending, From: e.Wall, To: e.Wall}
}

// ids lists the rows that some test holds for, in the order of writer and number.
func (d *disk) ids(holds func(row) bool) []string {
	var ids []string
	for id, r := range d.rows {
		if holds(r) {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, func(a, b string) int {
		x, y := d.rows[a], d.rows[b]
		switch {
		case x.inc != y.inc:
			return x.inc - y.inc
		case x.seq != y.seq:
			return int(x.seq - y.seq)
		case a < b:
			return -1
		}
		return 1
	})
	return ids
}

func (d *disk) waiting() []string { return d.ids(func(r row) bool { return r.pending }) }

// lag is how many entries up to the cursor are not in the sums.
func (d *disk) lag() int64 {
	lag := d.cursor.position
	for _, sum := range d.sums {
		lag -= int64(sum.count)
	}
	return lag
}

func (d *disk) orphans() int { return len(d.ids(func(r row) bool { return r.orphan > 0 })) }

// proof is what the server's own journal was once long enough for the cursor by: hash and receipt of the entry at it.
func (d *disk) proof() string {
	for _, r := range d.rows {
		if r.position > 0 && r.position == d.cursor.position && r.receipt.Position == r.position {
			raw, err := journal.Encode(r.entry)
			if err != nil {
				return ""
			}
			return journal.Hash(raw, r.stamp).String() + r.receipt.Receipt
		}
	}
	return ""
}

// of gives the entries that have a part in a record here.
func (d *disk) of(key string) []schema.Stamped {
	var set []schema.Stamped
	for _, r := range d.rows {
		if r.state == "" && slices.Contains(r.keys, key) {
			set = append(set, schema.Stamped{Entry: r.entry, Stamp: r.stamp, Position: r.position})
		}
	}
	return set
}

// keys names every record here, in order.
func (d *disk) keys() []string {
	seen := map[string]bool{}
	for _, r := range d.rows {
		for _, key := range r.keys {
			seen[key] = seen[key] || r.state == ""
		}
	}
	return slices.DeleteFunc(slices.Sorted(maps.Keys(seen)), func(key string) bool { return !seen[key] })
}

// chained gives an entry its bytes and its place in the chain, and moves the writer past it. Spoil, when set, changes
// the bytes as a faulty app would.
func (d *disk) chained(e schema.Entry, spoil func([]byte) []byte) (row, error) {
	raw, err := journal.Encode(e)
	if err != nil {
		return row{}, err
	}
	if spoil != nil {
		raw = spoil(raw)
	} else if e, err = journal.Parse(raw); err != nil {
		return row{}, err
	}
	d.writer.seq, d.writer.chain = e.Seq, journal.Chain(d.writer.chain, raw)
	return row{entry: e, raw: raw, inc: e.Incarnation, seq: e.Seq, stamp: pendingStamp(e), keys: fold.Keys(e), pending: true, own: true, chain: d.writer.chain}, nil
}

// countIn adds an entry that came into the cursor's reach to its lot's sum.
func (d *disk) countIn(r row, plant Plant) {
	hash := journal.Hash(r.raw, r.stamp)
	sum := d.sums[r.entry.Lot]
	sum.count++
	sum.sum = add(sum.sum, hash, plant)
	d.sums[r.entry.Lot] = sum
	d.counted[r.entry.Lot] = append(d.counted[r.entry.Lot], fmt.Sprintf(`%s%s{"at":%d,"from":%d,"quality":"%s","to":%d}`,
		r.raw, "\n", r.stamp.At, r.stamp.From, r.stamp.Quality, r.stamp.To))
}
