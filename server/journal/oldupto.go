package journal

import (
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
func (a *arrivals) oldUpTo(snap Snap, now int64) (int64, error) {
	before := now - leftAfter
	head, err := snap.Head()
	if err != nil {
		return 0, err
	}
	for block := head / blockOfArrivals; block >= 0; block-- {
		from, to := block*blockOfArrivals+1, (block+1)*blockOfArrivals
		first, err := a.first(snap, block, to <= head)
		if err != nil {
			return 0, err
		}
		if first >= before {
			continue
		}
		return snap.LastIn(from, to, before)
	}
	return 0, nil
}

// first is when the first entry of a block arrived, in ms since 1970; math.MaxInt64 where none says so.
func (a *arrivals) first(snap Snap, block int64, isWhole bool) (at int64, err error) {
	a.mu.Lock()
	at, known := a.blocks[block]
	a.mu.Unlock()
	if known {
		return at, nil
	}
	at, found, err := snap.FirstIn(block*blockOfArrivals+1, (block+1)*blockOfArrivals)
	if err == nil && !found {
		at = math.MaxInt64
	}
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
