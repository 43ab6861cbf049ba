package simrun

import (
	"errors"
	"sync"
)

// Pool keeps the phones' processes that are idle, since each takes as long to start as a good part of a day. Its zero value
// is empty and ready to use.
type Pool struct {
	mu   sync.Mutex
	idle []*phones
}

// take gives a process whose modules have a planted fault, when that is one of the phone's, and else none.
func (p *Pool) take(plant *Plant) (*phones, error) {
	p.mu.Lock()
	var apps *phones
	if n := len(p.idle); n > 0 {
		apps, p.idle = p.idle[n-1], p.idle[:n-1]
	}
	p.mu.Unlock()
	if apps == nil {
		var err error
		if apps, err = startPhones(); err != nil {
			return nil, err
		}
	}
	fault := ""
	if plant != nil && plant.Phone {
		fault = plant.Name
	}
	if err := apps.plant(fault); err != nil {
		return nil, errors.Join(err, apps.Close())
	}
	return apps, nil
}

func (p *Pool) back(apps *phones) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.idle = append(p.idle, apps)
}

// Close ends the processes.
func (p *Pool) Close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	var all error
	for _, apps := range p.idle {
		all = errors.Join(all, apps.Close())
	}
	p.idle = nil
	return all
}
