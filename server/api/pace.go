package api

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// A phone that empties a week's queue sends some ten batches a second; a desk that opens a page asks some ten things
// at once. Both stay far below.
const (
	paceEachSecond = 50
	paceAtOnce     = 300
	pacesKept      = 10000
)

// paces holds one limiter for each device or address.
type paces struct {
	mu   sync.Mutex
	now  func() time.Time
	each map[string]*rate.Limiter
}

func newPaces(now func() time.Time) *paces { return &paces{now: now, each: map[string]*rate.Limiter{}} }

func (p *paces) allow(who string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	l, ok := p.each[who]
	if !ok {
		if len(p.each) >= pacesKept {
			clear(p.each)
		}
		l = rate.NewLimiter(paceEachSecond, paceAtOnce)
		p.each[who] = l
	}
	return l.AllowN(p.now(), 1)
}
