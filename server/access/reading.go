package access

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"net/http"
	"slices"
	"strings"
	"time"

	"bedwalk/schema"
	"bedwalk/server/db"
)

// Errors of reading keys. Whoever shows a wrong one is answered 401, and learns which of these it is: nobody guesses 190 random bits.
var (
	ErrKeyMistyped = schema.NewProblem(http.StatusUnauthorized, "key_mistyped", "This reading key is cut off or mistyped.",
		"Copy the whole key once more. If you no longer have it, make a new one on the page For other programs.")
	ErrKeyUnknown = schema.NewProblem(http.StatusUnauthorized, "key_unknown", "This server knows no such reading key.",
		"Check that it is the right server, or make a new key on the page For other programs.")
	ErrKeyRevoked = schema.NewProblem(http.StatusUnauthorized, "key_revoked", "This reading key was revoked.",
		"Make a new one on the page For other programs.")
	ErrKeyOrphaned = schema.NewProblem(http.StatusUnauthorized, "key_without_maker", "Whoever made this reading key no longer has a supervisor's access.",
		"Have a supervisor make a new one on the page For other programs.")
	ErrKeyGuessing = schema.NewProblem(http.StatusTooManyRequests, "too_many_guesses", "Too many wrong reading keys came from this address.",
		"Wait a few minutes, and put the right key into each program there.")
	ErrNoKey = schema.NewProblem(http.StatusNotFound, "no_such_key", "No reading key has this id.",
		"Reload the list of keys.")
	ErrKeyName = schema.NewProblem(http.StatusConflict, "name_taken", "A reading key of this name is in use.",
		"Choose another name, or revoke that key first.")
	ErrKeysFull = schema.NewProblem(http.StatusConflict, "too_many_keys", fmt.Sprintf("There are %d reading keys in use.", mostKeys),
		"Revoke those that nothing uses any more.")
)

// mostKeys is how many reading keys may be in use, far more than a nursery has programs.
const mostKeys = 100

// Reader is another program that may read. Table is the one table that it reads, "" for all that keys may read; People is true where it
// reads about people more than their names. Times are milliseconds since 1970. Orphaned is true once whoever made the key (MadeBy, a
// person) has no supervisor's device any more, so that nobody keeps by a key an access that was taken from them.
type Reader struct {
	ID, Name, Table           string
	People, Orphaned          bool
	MadeBy, RevokedBy         string
	MadeAt, UsedAt, RevokedAt int64
}

// A reading key begins with what it is for, which secret scanners and people recognise, and ends in a checksum, which shows whether a key
// was cut off or is unknown.
const (
	keyForAll   = "bedwalk_read_"
	keyForTable = "bedwalk_table_"
	keyDrawn    = 32
	keyCheck    = 6
	base62      = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
)

// IsKey is true for a text that begins as reading keys do.
func IsKey(text string) bool {
	return strings.HasPrefix(text, keyForAll) || strings.HasPrefix(text, keyForTable)
}

// MakeKey makes a reading key: the only time that it is seen. Of r, Name, Table, People and MadeBy count. The errors are ErrKeyName and
// ErrKeysFull.
func (g *Gate) MakeKey(ctx context.Context, r Reader) (id, key string, err error) {
	if id, err = g.hexID(8); err != nil {
		return "", "", err
	}
	if key, err = drawKey(g.random, r.Table != ""); err != nil {
		return "", "", err
	}
	r.ID, r.MadeAt = id, g.now().UnixMilli()
	return id, key, g.store.Write(ctx, func(tx Tx) error {
		all, err := tx.Readers()
		if err != nil {
			return err
		}
		all = slices.DeleteFunc(all, func(other Reader) bool { return other.RevokedAt > 0 })
		switch {
		case slices.ContainsFunc(all, func(other Reader) bool { return other.Name == r.Name }):
			return ErrKeyName
		case len(all) >= mostKeys:
			return ErrKeysFull
		}
		return tx.PutReader(r, sha256.Sum256([]byte(key)))
	})
}

// Reader finds the program that shows a key. From is where it comes from: wrong keys are counted by it, apart from wrong pairing codes. A
// key that has been used since the start is let in however many wrong ones came from there, so that one program with an old key in
// it stops no other in the same office. The errors are those of reading keys.
func (g *Gate) Reader(ctx context.Context, key, from string) (Reader, error) {
	now, hash := g.now(), sha256.Sum256([]byte(key))
	g.mu.Lock()
	used := g.used[hash]
	g.mu.Unlock()
	if !used && !g.keyGuess.allowed(from, now) {
		return Reader{}, ErrKeyGuessing
	}
	if !wholeKey(key) {
		g.keyGuess.wrong(from, now)
		return Reader{}, ErrKeyMistyped
	}
	r, err := g.reader(ctx, hash)
	if err != nil {
		// One that was revoked is no guess.
		if errors.Is(err, ErrKeyUnknown) {
			g.keyGuess.wrong(from, now)
		}
		return Reader{}, err
	}
	g.mu.Lock()
	g.used[hash] = true
	g.mu.Unlock()
	if now.Sub(time.UnixMilli(r.UsedAt)) < seenEvery {
		return r, nil
	}
	r.UsedAt = now.UnixMilli()
	err = g.store.Write(ctx, func(tx Tx) error { return tx.UseKey(r.ID, r.UsedAt) })
	if errors.Is(err, db.ErrFull) {
		err = nil
	}
	return r, err
}

func (g *Gate) reader(ctx context.Context, hash [32]byte) (r Reader, err error) {
	var found bool
	err = g.store.Read(ctx, func(snap Snap) error {
		r, found, err = snap.KeyHolder(hash)
		return err
	})
	switch {
	case err != nil:
		return Reader{}, err
	case !found:
		return Reader{}, ErrKeyUnknown
	case r.RevokedAt > 0:
		return Reader{}, ErrKeyRevoked
	case r.Orphaned:
		return Reader{}, ErrKeyOrphaned
	}
	return r, nil
}

// Readers lists every reading key that was ever made, newest first.
func (g *Gate) Readers(ctx context.Context) (all []Reader, err error) {
	err = g.store.Read(ctx, func(snap Snap) error {
		all, err = snap.Readers()
		return err
	})
	return all, err
}

// RevokeKey ends a reading key from now on, in the name of a person. It stays ended when a backup is restored that is older. The error is
// ErrNoKey where there is none; one that was revoked already stays so.
func (g *Gate) RevokeKey(ctx context.Context, id, by string) error {
	err := g.store.Write(ctx, func(tx Tx) error {
		all, err := tx.Readers()
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(all, func(r Reader) bool { return r.ID == id }) {
			return ErrNoKey
		}
		return tx.RevokeKey(id, g.now().UnixMilli(), by)
	})
	if err != nil {
		return err
	}
	if err := g.HeedRevoked(ctx); err != nil {
		return fmt.Errorf("the key is revoked, but a restored backup would let it in again: %w; free some space and revoke it once more", err)
	}
	return nil
}

func drawKey(random io.Reader, forTable bool) (string, error) {
	key := keyForAll
	if forTable {
		key = keyForTable
	}
	one := make([]byte, 1)
	for drawn := 0; drawn < keyDrawn; {
		if _, err := io.ReadFull(random, one); err != nil {
			return "", fmt.Errorf("draw a reading key: %w", err)
		}
		// Bytes from the largest multiple of 62 on would favour the first letters.
		if int(one[0]) < 256/len(base62)*len(base62) {
			key += string(base62[int(one[0])%len(base62)])
			drawn++
		}
	}
	return key + checkOf(key), nil
}

// checkOf is the CRC-32 (IEEE) of a key's beginning as six digits of base 62.
func checkOf(text string) string {
	sum, digits := crc32.ChecksumIEEE([]byte(text)), make([]byte, keyCheck)
	for i := range digits {
		digits[keyCheck-1-i] = base62[sum%uint32(len(base62))]
		sum /= uint32(len(base62))
	}
	return string(digits)
}

func wholeKey(key string) bool {
	for _, begins := range []string{keyForAll, keyForTable} {
		if rest, ok := strings.CutPrefix(key, begins); ok && len(rest) == keyDrawn+keyCheck {
			return checkOf(key[:len(key)-keyCheck]) == key[len(key)-keyCheck:]
		}
	}
	return false
}
