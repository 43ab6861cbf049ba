package journal

import (
	"database/sql"
	"errors"
	"maps"

	"bedwalk/sync/journal"
)

// memory is what the writer remembers between pushes, so that it need not ask the file again. It holds committed
// state only: a batch works on an overlay and hands it over after its commit.
type memory struct {
	writers   map[writerKey]writer
	registers map[string]int64
	// shapes and names are what the file has one row of for many entries.
	shapes, names map[string]int64
	// digests are of each lot's entries, records of its records.
	digests, records map[int64]digest
	// summed is the row of records up to which they are in the sums, nil until it was read.
	summed *int64
	order  order
	// leaving is what first pulls may leave out of each lot, and open are lots that are known not to be closed.
	leaving map[int64]leaving
	open    map[int64]bool
	// lost are, by the writer's own numbers, the entries that others handed back for it.
	lost map[writerKey]map[int64][]byte
}

// mostNames is how many names are remembered: some 7 MB. Then the file is asked again.
const mostNames = 50_000

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

type digest struct {
	count int64
	sum   journal.Sum
}

func newMemory() memory {
	return memory{
		writers: map[writerKey]writer{}, registers: map[string]int64{}, shapes: map[string]int64{}, names: map[string]int64{}, digests: map[int64]digest{}, records: map[int64]digest{},
		leaving: map[int64]leaving{}, open: map[int64]bool{}, lost: map[writerKey]map[int64][]byte{},
	}
}

// writerOf is the writer's head, a new one when the file has none.
func (b *batch) writerOf(key writerKey) (writer, error) {
	if w, ok := b.over.writers[key]; ok {
		return w, nil
	}
	if w, ok := b.store.memory.writers[key]; ok {
		return w, nil
	}
	return writerIn(b.tx, key)
}

func writerIn(tx *sql.Tx, key writerKey) (w writer, err error) {
	var chain []byte
	err = tx.QueryRow("select n, high, chain, last_at from writers where device = ? and inc = ?", key.device, key.inc).
		Scan(&w.n, &w.high, &chain, &w.lastAt)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return w, err
	}
	copy(w.chain[:], chain)
	return w, nil
}

// saveWriter writes the head of a chain.
func (b *batch) saveWriter(key writerKey, w writer) (writer, error) {
	if w.n == 0 {
		result, err := b.tx.Exec("insert into writers (device, inc, high, chain, last_at) values (?, ?, ?, ?, ?)",
			key.device, key.inc, w.high, w.chain[:], w.lastAt)
		if err != nil {
			return w, err
		}
		if w.n, err = result.LastInsertId(); err != nil {
			return w, err
		}
	} else if _, err := b.tx.Exec("update writers set high = ?, chain = ?, last_at = ? where n = ?",
		w.high, w.chain[:], w.lastAt, w.n); err != nil {
		return w, err
	}
	b.over.writers[key] = w
	return w, nil
}

// register is the small number of a lot or bed, 0 for none.
func (b *batch) register(id string) (int64, error) {
	if id == "" {
		return 0, nil
	}
	if n, ok := b.over.registers[id]; ok {
		return n, nil
	}
	if n, ok := b.store.memory.registers[id]; ok {
		return n, nil
	}
	var n int64
	err := b.tx.QueryRow("insert into registers (id) values (?) on conflict (id) do update set id = id returning n", id).Scan(&n)
	if err != nil {
		return 0, err
	}
	b.over.registers[id] = n
	return n, nil
}

// count adds an entry's hash to its lot's digest.
func (b *batch) count(lot int64, hash journal.Sum) error {
	d, err := b.sumOf(lot, b.over.digests, b.store.memory.digests, "select count, sum from digests where lot = ?")
	if err != nil {
		return err
	}
	b.over.digests[lot] = digest{d.count + 1, d.sum.Add(hash)}
	return nil
}

// sumOf is a lot's sum as this batch has it, else as the store remembers it, else as the file has it.
func (b *batch) sumOf(lot int64, over, known map[int64]digest, query string) (digest, error) {
	if d, ok := over[lot]; ok {
		return d, nil
	}
	if d, ok := known[lot]; ok {
		return d, nil
	}
	var d digest
	var sum []byte
	err := b.tx.QueryRow(query, lot).Scan(&d.count, &sum)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return d, err
	}
	copy(d.sum[:], sum)
	return d, nil
}

func (b *batch) saveDigests() error {
	for lot, d := range b.over.digests {
		if _, err := b.hot.digest.Exec(lot, d.count, d.sum[:]); err != nil {
			return err
		}
	}
	for lot, d := range b.over.records {
		if _, err := b.hot.recordSum.Exec(lot, d.count, d.sum[:]); err != nil {
			return err
		}
	}
	for lot, l := range b.over.leaving {
		if _, err := b.hot.leaving.Exec(lot, l.notes.count, l.notes.sum[:], l.records.count, l.records.sum[:]); err != nil {
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
	for id, n := range b.over.registers {
		b.store.memory.registers[id] = n
	}
	maps.Copy(b.store.memory.shapes, b.over.shapes)
	if len(b.store.memory.names) > mostNames {
		clear(b.store.memory.names)
	}
	maps.Copy(b.store.memory.names, b.over.names)
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
