package journal

import "bedwalk/sync/journal"

// memory is what the writer remembers between pushes, so that it need not ask the site again. It holds committed
// state only: a batch works on an overlay and hands it over after its commit.
type memory struct {
	writers map[writerKey]writer
	// digests are of each lot's entries, records of its records.
	digests, records map[int64]LotSum
	// summed is the row of records up to which they are in the sums, nil until it was read.
	summed *int64
	order  order
	// leaving is what first pulls may leave out of each lot, and open are lots that are known not to be closed.
	leaving map[int64]Leaving
	open    map[int64]bool
	// lost are, by the writer's own numbers, the entries that others handed back for it.
	lost map[writerKey]map[int64][]byte
}

type writerKey struct {
	device string
	inc    int
}

// writer is the head of one device's chain. n is 0 until it has a row.
type writer struct {
	n      int64
	high   int64
	chain  [32]byte
	lastAt int64
}

func newMemory() memory {
	return memory{
		writers: map[writerKey]writer{}, digests: map[int64]LotSum{}, records: map[int64]LotSum{}, leaving: map[int64]Leaving{}, open: map[int64]bool{}, lost: map[writerKey]map[int64][]byte{},
	}
}

// writerOf is the writer's head, a new one when the site has none.
func (b *batch) writerOf(key writerKey) (writer, error) {
	if w, ok := b.over.writers[key]; ok {
		return w, nil
	}
	if w, ok := b.store.memory.writers[key]; ok {
		return w, nil
	}
	return writerIn(b.tx, key)
}

func writerIn(snap Snap, key writerKey) (writer, error) {
	c, err := snap.Chain(key.device, key.inc)
	return writer{c.N, c.High, c.Hash, c.LastAt}, err
}

// saveWriter writes the head of a chain.
func (b *batch) saveWriter(key writerKey, w writer) (writer, error) {
	var err error
	if w.n, err = b.tx.PutChain(key.device, key.inc, Chain{w.n, w.high, w.chain, w.lastAt}); err != nil {
		return w, err
	}
	b.over.writers[key] = w
	return w, nil
}

// count adds an entry's hash to its lot's digest.
func (b *batch) count(lot int64, hash journal.Sum) error {
	d, err := sumOf(lot, b.over.digests, b.store.memory.digests, b.tx.NoteSum)
	if err != nil {
		return err
	}
	b.over.digests[lot] = d.plus(1, hash)
	return nil
}

// sumOf is a lot's sum as a batch has it, else as the store remembers it, else as the site has it.
func sumOf(lot int64, over, known map[int64]LotSum, ask func(int64) (LotSum, error)) (LotSum, error) {
	if d, ok := over[lot]; ok {
		return d, nil
	}
	if d, ok := known[lot]; ok {
		return d, nil
	}
	return ask(lot)
}

func (b *batch) saveDigests() error {
	for lot, d := range b.over.digests {
		if err := b.tx.PutNoteSum(lot, d); err != nil {
			return err
		}
	}
	for lot, d := range b.over.records {
		if err := b.tx.PutRecordSum(lot, d); err != nil {
			return err
		}
	}
	for lot, l := range b.over.leaving {
		if err := b.tx.PutLeaving(lot, l); err != nil {
			return err
		}
	}
	return nil
}

// publish hands the overlay over to the store's memory; only after a commit.
func (b *batch) publish() {
	for key, w := range b.over.writers {
		b.store.memory.writers[key] = w
	}
	for lot, d := range b.over.digests {
		b.store.memory.digests[lot] = d
	}
	for lot, d := range b.over.records {
		b.store.memory.records[lot] = d
	}
	for lot, l := range b.over.leaving {
		b.store.memory.leaving[lot] = l
	}
	for lot, open := range b.over.open {
		b.store.memory.open[lot] = open
	}
	if b.over.summed != nil {
		b.store.memory.summed = b.over.summed
	}
	if b.over.order.known {
		b.store.memory.order = b.over.order
	}
	raise(&b.store.head, b.head)
	if b.sure {
		raise(&b.store.clock, b.now)
	}
}
