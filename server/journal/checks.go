package journal

import "iter"

// Checks are what Verify asks of a site besides what a server does: rows as they are, of a site of any age, which may have been changed past
// Bedwalk. What comes more than once comes in any order.
type Checks interface {
	// Keeps says whether a table is there: a file of an older build lacks the later ones.
	Keeps(table string) (bool, error)
	// Chained are the notes of all writers, merged or in quarantine, writer by writer in the order of their numbers. One without a note comes
	// once.
	Chained() iter.Seq2[Chained, error]
	// Listed are the notes that are listed with records.
	Listed() iter.Seq2[PartAt, error]
	// Marks are the hashes that Tx.Mark kept, by their positions.
	Marks() (map[int64]string, error)
	// Filed are some records as they are filed, by their keys; CountRecords counts all.
	Filed(keys []string) (map[string]Filed, error)
	CountRecords() (int, error)
	// Leavings are the sums of what may leave of each lot, Stays from which head on first pulls give the notes at some positions, and
	// ClosedLots the ids of the lots that are closed.
	Leavings() iter.Seq2[LeavingOf, error]
	Stays() (map[int64]int64, error)
	ClosedLots() ([]string, error)
	// Strange names what is filed under a lot or bed that is not there, or is no sum: "record KEY".
	Strange() ([]string, error)
	// LateBy is the last time at which something came, or that was given to a note, where that is later than all of some settings.
	LateBy(settings ...string) (at int64, late bool, err error)
	// Unsealed names each row of the small tables that is not as Bedwalk wrote it, and what is wrong with it ("was changed").
	Unsealed(tell func(table, key, wrong string)) error
}

// Chained is a note in the chain of its writer; Seq is 0 where the writer has none.
type Chained struct {
	Chain
	Device      string
	Incarnation int
	Seq         int64
	Bytes       []byte
}

// PartAt is a note that is listed with a record.
type PartAt struct {
	Key      string
	Position int64
}

// Filed is a record as it is filed, with the ids of its lot and bed.
type Filed struct {
	N        int64
	Text     []byte
	Lot, Bed string
}

// LeavingOf is what may leave of a lot; not sound where a sum is none.
type LeavingOf struct {
	Leaving
	Lot   string
	Sound bool
}
