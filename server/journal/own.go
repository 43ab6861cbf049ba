package journal

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"strconv"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Draft is what the server itself writes down: a person who was paired by name, the nursery's name.
type Draft struct {
	Kind   string
	Person string
	Lot    string
	Bed    string
	Body   any
}

// Write puts entries of the server's own into the journal, by the same way as a phone's. The server is one more
// device, and takes a new incarnation in each epoch, because a restored file has forgotten what it last wrote. While the
// clock is in doubt they stand at the last time that was given: a phone that is paired after a start can so be let in,
// and its word about the time is what the server waits for.
func (s *Store) Write(ctx context.Context, drafts ...Draft) error {
	s.own.Lock()
	defer s.own.Unlock()
	device, inc, err := s.self(ctx)
	if err != nil {
		return err
	}
	high, chain, err := s.chainAt(ctx, device, inc)
	if err != nil {
		return err
	}
	doubt, err := s.settleClock(ctx)
	if err != nil {
		return err
	}
	now := s.NowMS()
	if doubt != "" {
		now = s.clock.Load()
	}
	push := schema.Push{V: schema.Version, Device: device, Incarnation: inc, Epoch: s.Epoch(), From: high + 1, Chain: chain, Session: "server", SentWall: now}
	for i, d := range drafts {
		id, err := s.hexID(16)
		if err != nil {
			return err
		}
		body, err := json.Marshal(d.Body)
		if err != nil {
			return err
		}
		raw, err := journal.Encode(schema.Entry{
			ID: id, Device: device, Incarnation: inc, Seq: high + 1 + int64(i), V: schema.Version, Kind: d.Kind,
			Person: d.Person, Lot: d.Lot, Bed: d.Bed, Wall: now, Session: "server", Floor: now, Body: body,
		})
		if err != nil {
			return err
		}
		push.Entries = append(push.Entries, raw)
	}
	answer, err := s.Push(ctx, push, Sender{Device: device, Own: true})
	if err != nil {
		return err
	}
	for _, given := range answer.Given {
		if given.State != "merged" {
			return &schema.Problem{Status: http.StatusBadRequest, Code: given.State, Detail: "The server's own entry has a fault.", Remedy: given.Faults[0].Sentence()}
		}
	}
	return nil
}

// chainAt is the number and the hash up to which a writer's chain is at the server.
func (s *Store) chainAt(ctx context.Context, device string, inc int) (high int64, chain string, err error) {
	var c Chain
	err = s.site.Read(ctx, func(snap Snap) error {
		c, err = snap.Chain(device, inc)
		return err
	})
	if c.High > 0 {
		chain = hex.EncodeToString(c.Hash[:])
	}
	return c.High, chain, err
}

// self is the server's own device and its incarnation in this epoch. Each program that serves a shared site has one of its own, or two that write at
// once would number their entries alike.
func (s *Store) self(ctx context.Context) (device string, inc int, err error) {
	err = s.write(ctx, func(b *batch) error {
		if device, err = b.tx.Setting(metaOwnDevice); err != nil {
			return err
		}
		if device == "" {
			if device, err = s.hexID(8); err != nil {
				return err
			}
			if err := b.tx.Set(metaOwnDevice, device); err != nil {
				return err
			}
		}
		if s.shared {
			if s.ownInc > 0 && s.ownEpoch == s.Epoch() {
				inc = s.ownInc
				return nil
			}
			inc, err = b.newIncarnation(device)
			return err
		}
		own, err := b.tx.Setting(metaOwnInc)
		if err != nil {
			return err
		}
		if inc, err = strconv.Atoi(own); err == nil {
			return nil
		}
		if inc, err = b.newIncarnation(device); err != nil {
			return err
		}
		return b.tx.Set(metaOwnInc, strconv.Itoa(inc))
	})
	if err == nil {
		s.ownInc, s.ownEpoch = inc, s.Epoch()
	}
	return device, inc, err
}

// OwnDevice is the server's own device, "" when it has never written.
func (s *Store) OwnDevice(ctx context.Context) (device string, err error) {
	err = s.site.Read(ctx, func(snap Snap) error {
		device, err = snap.Setting(metaOwnDevice)
		return err
	})
	return device, err
}
