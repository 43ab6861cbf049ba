package journal

import (
	"database/sql"
	"math"
	"sync"
)

// arrivals remembers of each whole block of the journal when the first of its entries arrived: blocks never change, and a month of entries
// is not read for each page of Gone.
type arrivals struct {
	mu     sync.Mutex
	blocks map[int64]int64
}

// blockOfArrivals is how many positions a block has.
const blockOfArrivals = 1000

// oldUpTo is the last position of which it is certain that a backup of the last thirty days has it: entries stand in the order in which they
// arrived, so all before one that arrived so long ago did too, whatever the clock said then. One that waited in quarantine says nothing of
// that: it has the time of its own arrival, and stands where it was merged.
func (a *arrivals) oldUpTo(tx *sql.Tx, now int64) (int64, error) {
	before := now - leftAfter
	head, err := headIn(tx)
	if err != nil {
		return 0, err
	}
	for block := head / blockOfArrivals; block >= 0; block-- {
		from, to := block*blockOfArrivals+1, (block+1)*blockOfArrivals
		first, err := a.first(tx, block, to <= head)
		if err != nil {
			return 0, err
		}
		if first >= before {
			continue
		}
		var position int64
		err = tx.QueryRow("select max(position) from entries where position between ? and ? and received_at < ?"+andOfItself, from, to, before).Scan(&position)
		return position, err
	}
	return 0, nil
}

// andOfItself leaves out what waited in quarantine.
const andOfItself = " and position not in (select position from quarantine where state = 'merged')"

// first is when the first entry of a block arrived, in ms since 1970; math.MaxInt64 where none says so.
func (a *arrivals) first(tx *sql.Tx, block int64, isWhole bool) (at int64, err error) {
	a.mu.Lock()
	at, known := a.blocks[block]
	a.mu.Unlock()
	if known {
		return at, nil
	}
	err = tx.QueryRow("select coalesce(min(received_at), ?) from entries where position between ? and ?"+andOfItself, int64(math.MaxInt64),
		block*blockOfArrivals+1, (block+1)*blockOfArrivals).Scan(&at)
	if err != nil || !isWhole {
		return at, err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.blocks == nil {
		a.blocks = map[int64]int64{}
	}
	a.blocks[block] = at
	return at, nil
}
