package journal

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// metaOrder is the end of the running hash over the journal; "" where a journal of an older build is still to be hashed.
const metaOrder = "order"

// markEvery is how many positions lie between two marks: so close is said where the order was changed.
const markEvery = 1000

// order is the running hash over the journal up to a position: which entry stands at which place, whose it is, with
// which stamp, and when it came. The chains of the writers say nothing of the places, and the sums of the lots neither.
type order struct {
	known    bool
	position int64
	hash     [32]byte
}

// next is the hash after one more entry. Hash is the entry's part in its lot's sum, which covers bytes and stamp.
func (o order) next(position, writer, seq, receivedAt int64, hash journal.Sum) order {
	buffer := append(make([]byte, 0, 80), o.hash[:]...)
	for _, n := range []int64{position, writer, seq, receivedAt} {
		buffer = binary.BigEndian.AppendUint64(buffer, uint64(n))
	}
	return order{true, position, sha256.Sum256(append(buffer, hash[:]...))}
}

func (o order) String() string { return fmt.Sprintf("%d %x", o.position, o.hash) }

func readOrder(text string) (o order, err error) {
	position, digits, _ := strings.Cut(text, " ")
	if o.position, err = strconv.ParseInt(position, 10, 64); err != nil {
		return o, err
	}
	raw, err := hex.DecodeString(digits)
	if err == nil && len(raw) != len(o.hash) {
		err = errors.New("no hash of 32 bytes")
	}
	copy(o.hash[:], raw)
	o.known = true
	return o, err
}

// inOrder counts an entry into the running hash.
func (b *batch) inOrder(position, writer, seq, receivedAt int64, hash journal.Sum) (err error) {
	if !b.over.order.known {
		if b.over.order = b.store.memory.order; !b.over.order.known {
			if b.over.order, err = b.orderInFile(); err != nil {
				return err
			}
		}
	}
	b.over.order = b.over.order.next(position, writer, seq, receivedAt, hash)
	return b.mark(b.over.order)
}

func (b *batch) mark(o order) error {
	if o.position%markEvery != 0 {
		return nil
	}
	_, err := b.tx.Exec("insert into marks values (?, ?) on conflict (position) do update set hash = excluded.hash", o.position, o.hash[:])
	return err
}

// orderInFile is where the running hash stands. A journal of an older build is hashed now. One that somebody has damaged
// goes on from nothing: a push is not refused for it, and "verify" says so.
func (b *batch) orderInFile() (o order, err error) {
	kept, err := meta(b.tx, metaOrder)
	if err != nil {
		return o, err
	}
	if kept != "" {
		if o, err = readOrder(kept); err != nil {
			return order{known: true}, nil
		}
		return o, nil
	}
	o.known = true
	err = eachPlaced(context.Background(), b.tx, func(e placed) error {
		o = o.next(e.position, e.writer, e.seq, e.receivedAt, journal.Hash(e.raw, e.stamp))
		return b.mark(o)
	})
	return o, err
}

func (b *batch) saveOrder() error {
	if !b.over.order.known {
		return nil
	}
	return setMeta(b.tx, metaOrder, b.over.order.String())
}

// placed is an entry as its row has it. Its raw bytes are good until the next one is visited.
type placed struct {
	position, writer, seq, receivedAt int64
	id                                string
	lot                               string
	stamp                             schema.Stamp
	raw                               sql.RawBytes
}

// eachPlaced visits the journal in the order of its positions.
func eachPlaced(ctx context.Context, tx *sql.Tx, visit func(placed) error) error {
	rows, err := tx.QueryContext(ctx, `select e.position, e.writer, e.seq, e.received_at, lower(hex(e.id)), iif(e.lot = 0, '', coalesce(t.id, '?')),
		e.at, e.quality, e.at_from, e.at_to, e.bytes from entries e left join registers t on t.n = e.lot order by e.position`)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var e placed
		st := &e.stamp
		if err := rows.Scan(&e.position, &e.writer, &e.seq, &e.receivedAt, &e.id, &e.lot, &st.At, &st.Quality, &st.From, &st.To, &e.raw); err != nil {
			return err
		}
		if err := visit(e); err != nil {
			return err
		}
	}
	return rows.Err()
}
