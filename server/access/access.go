// Package access knows who may come in: paired devices with their tokens, one-time pairing codes, roles, and reading keys of other programs.
//
// A token is 256 random bits that only the device's cookie holds; this package keeps its SHA-256. Nothing in this package knows
// HTTP. The central type is Gate.
package access

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/server/db"
)

// Roles, from the least to the most.
const (
	Scout      = schema.RoleScout
	Supervisor = schema.RoleSupervisor
	Owner      = schema.RoleOwner
)

// Errors that a caller can test for.
var (
	ErrNotPaired = schema.NewProblem(http.StatusUnauthorized, "not_paired", "This device is not paired.",
		"Ask the supervisor for a pairing code.")
	ErrNoDevice = schema.NewProblem(http.StatusNotFound, "no_such_device", "No device has this id.",
		"Reload the list of phones.")
	ErrRole = schema.NewProblem(http.StatusBadRequest, "no_such_role", "A role is scout, supervisor or owner.",
		"Choose one of these.")
	ErrOwners = schema.NewProblem(http.StatusForbidden, "not_allowed", "Only an owner may revoke an owner's device.",
		"Ask an owner, or pair one at the server itself with bedwalk pair --role owner.")
	ErrLastOwner = schema.NewProblem(http.StatusConflict, "last_owner", "This is the last device of an owner.",
		"Pair another owner's device first.")
)

// Device is one paired phone or browser. Times are milliseconds since 1970; RevokedAt is 0 while it may come in, and RevokedBy the person
// who took that back. People are those in whose names it may write: its own person, and those as whom the same browser was paired before, while
// those pairings are not revoked. So a browser that is paired again can send what it noted as somebody else.
type Device struct {
	ID, Name, Person, Role      string
	PairedAt, SeenAt, RevokedAt int64
	RevokedBy                   string
	People                      []string
}

// Supervises is true for roles that see the supervisor's pages.
func (d Device) Supervises() bool { return d.Role == Supervisor || d.Role == Owner }

// Gate lets devices in. Its methods are safe for many goroutines.
type Gate struct {
	store  Store
	dir    string
	now    func() time.Time
	random io.Reader
	guess  guesses
	// revoking is held while the store and RevokedFile are made equal.
	revoking sync.Mutex

	// keyGuess counts wrong reading keys, as guess does wrong codes.
	keyGuess guesses

	mu    sync.Mutex
	known map[[32]byte]*Device
	// used are the hashes of reading keys that were right since the start.
	used map[[32]byte]bool
}

// Options are what a Gate depends on. Dir is the folder of RevokedFile; a nil Now is the system's clock and a nil Random its random source.
type Options struct {
	Store  Store
	Dir    string
	Now    func() time.Time
	Random io.Reader
}

// New makes a Gate on an open store.
func New(o Options) *Gate {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Random == nil {
		o.Random = rand.Reader
	}
	return &Gate{
		store: o.Store, dir: o.Dir, now: o.Now, random: o.Random, guess: newGuesses(), keyGuess: newGuesses(),
		known: map[[32]byte]*Device{}, used: map[[32]byte]bool{},
	}
}

// seenEvery is how precisely "last seen" is kept; finer would mean a write for every request.
const seenEvery = time.Minute

// Identify finds the device that holds a token. A revoked device is found too, with RevokedAt set: the caller decides what it
// may still do.
func (g *Gate) Identify(ctx context.Context, token string) (Device, error) {
	hash, ok := tokenHash(token)
	if !ok {
		return Device{}, ErrNotPaired
	}
	d, stale, err := g.remembered(ctx, hash)
	if err != nil || !stale {
		return d, err
	}
	// Outside the lock, because the write may wait for a push; and a full disk must not shut anybody out.
	err = g.store.Write(ctx, func(tx Tx) error { return tx.Seen(d.ID, d.SeenAt) })
	if errors.Is(err, db.ErrFull) {
		err = nil
	}
	return d, err
}

// remembered finds a device, in memory first, and says whether "last seen" is old enough to be written again.
func (g *Gate) remembered(ctx context.Context, hash [32]byte) (d Device, stale bool, err error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	known, ok := g.known[hash]
	if !ok {
		if known, err = g.find(ctx, hash); err != nil {
			return Device{}, false, err
		}
		g.known[hash] = known
	}
	if now := g.now(); now.Sub(time.UnixMilli(known.SeenAt)) >= seenEvery {
		known.SeenAt, stale = now.UnixMilli(), true
	}
	return *known, stale, nil
}

func (g *Gate) find(ctx context.Context, hash [32]byte) (*Device, error) {
	var device Device
	var found bool
	err := g.store.Read(ctx, func(snap Snap) (err error) {
		device, found, err = snap.Holder(hash)
		return err
	})
	if err == nil && !found {
		err = ErrNotPaired
	}
	return &device, err
}

// Forget forgets who the devices are: another program may have let one in or shut one out.
func (g *Gate) Forget() {
	g.mu.Lock()
	defer g.mu.Unlock()
	clear(g.known)
}

// Devices lists every device that was ever paired, newest first.
func (g *Gate) Devices(ctx context.Context) (all []Device, err error) {
	err = g.store.Read(ctx, func(snap Snap) error {
		all, err = snap.Devices()
		return err
	})
	return all, err
}

// Count is how many devices and open invitations each person has.
func (g *Gate) Count(ctx context.Context) (all map[string]int, err error) {
	err = g.store.Read(ctx, func(snap Snap) error {
		if all, err = snap.Invited(g.now().UnixMilli()); err != nil {
			return err
		}
		devices, err := snap.Devices()
		for _, d := range devices {
			if d.RevokedAt == 0 {
				all[d.Person]++
			}
		}
		return err
	})
	return all, err
}

// Enrol pairs a device that is already known by id, with a token that nobody holds: for the demo's phones, of which only
// the notes exist.
func (g *Gate) Enrol(ctx context.Context, d Device) error {
	unknown := make([]byte, sha256.Size)
	if _, err := io.ReadFull(g.random, unknown); err != nil {
		return fmt.Errorf("draw a token: %w", err)
	}
	return g.store.Write(ctx, func(tx Tx) error { return pair(tx, d, sha256.Sum256(unknown)) })
}

func pair(tx Tx, d Device, token [32]byte) error {
	if !Known(d.Role) {
		return ErrRole
	}
	return tx.Pair(d, token)
}

// inherit lets a device write in the names in which the holder of a token could. Only the token proves that it is the
// same browser.
func inherit(tx Tx, device, token string) error {
	hash, ok := tokenHash(token)
	if !ok {
		return nil
	}
	return tx.Inherit(device, hash)
}

// tokenHash is what the store keeps of a token; false for a text that nobody was given. Strict, because 256 bits fill 43
// characters but for two bits of the last: otherwise four texts would be the same token.
func tokenHash(token string) ([32]byte, bool) {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(token)
	if err != nil || len(raw) != sha256.Size {
		return [32]byte{}, false
	}
	return sha256.Sum256(raw), true
}

// Known is true for the three roles.
func Known(role string) bool { return role == Scout || role == Supervisor || role == Owner }

func (g *Gate) hexID(n int) (string, error) {
	b := make([]byte, n)
	if _, err := io.ReadFull(g.random, b); err != nil {
		return "", fmt.Errorf("draw a random id: %w", err)
	}
	return hex.EncodeToString(b), nil
}
