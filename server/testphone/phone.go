// Package testphone is a phone for tests of the server: it numbers, chains and batches notes as the real app does, and
// can be made to misbehave. It keeps everything that it ever wrote. The central type is Phone.
package testphone

import (
	"encoding/json"
	"fmt"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Phone is one device's writer.
type Phone struct {
	Device  string
	Inc     int
	Person  string
	Wall    int64
	Session string
	// Raw is every entry by its number less one; Chains the chain hash after each.
	Raw    []json.RawMessage
	Chains [][32]byte
	ids    int
}

// New is a phone that has written nothing.
func New(device string) *Phone {
	return &Phone{Device: device, Inc: 1, Person: ID("person " + device), Wall: 1_000_000_000_000, Session: "s1"}
}

// ID makes an id from words, so that tests can name things.
func ID(words string) string {
	chain := journal.Chain([32]byte{}, []byte(words))
	return fmt.Sprintf("%x", chain[:16])
}

// Entry is the next entry of a kind, not yet written down.
func (p *Phone) Entry(kind, lot, bed string, body any) schema.Entry {
	p.ids++
	raw, err := json.Marshal(body)
	if err != nil {
		panic(err)
	}
	return schema.Entry{
		ID: ID(fmt.Sprintf("%s %d %d", p.Device, p.Inc, p.ids)), Device: p.Device, Incarnation: p.Inc, Seq: int64(len(p.Raw) + 1),
		V: schema.Version, Kind: kind, Person: p.Person, Lot: lot, Bed: bed, Wall: p.Wall + int64(p.ids), Session: p.Session,
		Mono: int64(p.ids), Body: raw,
	}
}

// Write writes an entry down and returns its id.
func (p *Phone) Write(e schema.Entry) string {
	raw, err := journal.Encode(e)
	if err != nil {
		panic(err)
	}
	p.WriteRaw(raw)
	return e.ID
}

// WriteRaw writes any bytes down as the next entry.
func (p *Phone) WriteRaw(raw []byte) {
	before := [32]byte{}
	if n := len(p.Chains); n > 0 {
		before = p.Chains[n-1]
	}
	p.Raw = append(p.Raw, raw)
	p.Chains = append(p.Chains, journal.Chain(before, raw))
}

// Note is Entry and Write.
func (p *Phone) Note(kind, lot, bed string, body any) string {
	return p.Write(p.Entry(kind, lot, bed, body))
}

// Batch is a push of the entries numbered from to to, both included.
func (p *Phone) Batch(from, to int) schema.Push {
	before := ""
	if from > 1 {
		before = journal.ChainHex(p.Chains[from-2])
	}
	return schema.Push{
		V: schema.Version, Device: p.Device, Incarnation: p.Inc, From: int64(from), Chain: before, Session: p.Session,
		SentWall: p.Wall + 1000, SentMono: 1000, Pending: len(p.Raw) - to, Entries: p.Raw[from-1 : to],
	}
}

// All is a push of everything from a number on.
func (p *Phone) All(from int) schema.Push { return p.Batch(from, len(p.Raw)) }
