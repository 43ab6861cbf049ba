package journal

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

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
			if b.over.order, err = b.orderKept(); err != nil {
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
	return b.tx.Mark(o.position, o.hash)
}

// orderKept is where the running hash stands. A journal of an older build is hashed now. One that somebody has damaged
// goes on from nothing: a push is not refused for it, and "verify" says so.
func (b *batch) orderKept() (o order, err error) {
	kept, err := b.tx.Setting(metaOrder)
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
	for row, err := range b.tx.Rows(0, math.MaxInt64) {
		if err != nil {
			return o, err
		}
		o = o.next(row.Position, row.Writer, row.Seq, row.ReceivedAt, journal.Hash(row.Bytes, row.Stamp))
		if err := b.mark(o); err != nil {
			return o, err
		}
	}
	return o, nil
}

func (b *batch) saveOrder() error {
	if !b.over.order.known {
		return nil
	}
	return b.tx.Set(metaOrder, b.over.order.String())
}
