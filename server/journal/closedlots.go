package journal

import (
	"errors"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
)

// regards notes which lots a record has a say in: whether they are closed may change with it.
func (b *batch) regards(key string, t *touched) {
	kind, id, _ := strings.Cut(key, ":")
	switch kind {
	case "lot", "stock":
		// A void may name any record, of no lot that there is.
		if t.exists {
			b.lots[id] = true
		}
	case "span":
		b.lots[t.record.Lot] = true
		if t.before > 0 {
			if was, existed, err := fold.Try(key, t.entries[:t.before]); err == nil && existed {
				b.lots[was.Lot] = true
			}
		}
	}
}

// settleLots writes down which of the lots that this batch has touched are closed now, and keeps what was known of those that were.
func (b *batch) settleLots() error {
	for lot, decisive := range b.lots {
		if lot == "" {
			continue
		}
		n, err := b.tx.Register(lot)
		if err != nil {
			return err
		}
		if !decisive && (b.over.open[n] || b.store.memory.open[n]) {
			continue
		}
		// The sums of this batch are not yet put: what a first pull may have left out by then is kept.
		if err := errors.Join(b.tx.Reopen(n, b.store.Head()+1), b.close(n, lot, b.now)); err != nil {
			return err
		}
	}
	return nil
}

// close writes a lot down as closed since the head of this batch, if it is; one that is there already stays as it is.
func (b *batch) close(n int64, lot string, lastAt int64) error {
	closed, err := b.isClosed(n, lot)
	if err != nil {
		return err
	}
	b.over.open[n] = !closed
	if !closed {
		return nil
	}
	return b.tx.Close(n, b.head, lastAt)
}

func (b *batch) isClosed(n int64, lot string) (bool, error) {
	record, _, err := b.record("lot:" + lot)
	if err != nil || !fold.Shipped(record) {
		return false, err
	}
	stock, _, err := b.record("stock:" + lot)
	if err != nil || !fold.Closed(record, stock, nil) {
		return false, err
	}
	keys, err := b.tx.KeysOfLot(n, "span")
	if err != nil {
		return false, err
	}
	var spans []schema.Record
	for _, key := range keys {
		span, _, err := b.record(key)
		if err != nil {
			return false, err
		}
		spans = append(spans, span)
	}
	return fold.Closed(record, stock, spans), nil
}

// closeOld writes down a closed lot of a file of an older build, by when the last of its notes arrived, or of what has a say in it.
func (b *batch) closeOld(lot string) error {
	n, err := b.tx.Register(lot)
	if err != nil {
		return err
	}
	lastAt, err := b.tx.Touched(n, lot)
	if err != nil {
		return err
	}
	return b.close(n, lot, lastAt)
}
