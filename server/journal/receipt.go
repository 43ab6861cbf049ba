package journal

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/sync/journal"
)

// KeyFile lies beside the database and holds the keys that receipts are made with, one a line, the newest first. The
// database holds them too, so that every backup has them: a key is lost only when both are.
const KeyFile = "receipt.keys"

const (
	keyBytes = 32
	// receiptOf sets these hashes apart from whatever else the keys may one day be used for.
	receiptOf = "bedwalk receipt 1\n"
)

// keyRing makes receipts with its first key and believes those of all its keys.
type keyRing [][]byte

// receipt says that an entry (by its hash, which covers its bytes and its stamp) stands at a position: the beginning of
// a keyed hash, of which only so much travels because it is the one part of a note that no compression takes away. A
// guess is right once in 2^36 times; what bounds the guesses is in handback.go.
func (k keyRing) receipt(position int64, hash journal.Sum) []byte {
	return mac(k[0], position, hash)
}

// proves is true for a receipt that one of the keys has made for just this.
func (k keyRing) proves(position int64, hash journal.Sum, receipt string) bool {
	if position < 1 {
		return false
	}
	for _, key := range k {
		if subtle.ConstantTimeCompare(mac(key, position, hash), []byte(receipt)) == 1 {
			return true
		}
	}
	return false
}

func mac(key []byte, position int64, hash journal.Sum) []byte {
	m := hmac.New(sha256.New, key)
	message := append(make([]byte, 0, len(receiptOf)+8+len(hash)), receiptOf...)
	message = append(binary.BigEndian.AppendUint64(message, uint64(position)), hash[:]...)
	m.Write(message)
	return base64.RawURLEncoding.AppendEncode(nil, m.Sum(nil))[:schema.ReceiptChars]
}

// provesCursor is true for the hash of an entry (32 hexadecimal digits) with its receipt for that position.
func (k keyRing) provesCursor(position int64, proof string) bool {
	const digits = 2 * len(journal.Sum{})
	if len(proof) <= digits {
		return false
	}
	var hash journal.Sum
	if n, err := hex.Decode(hash[:], []byte(proof[:digits])); err != nil || n != len(hash) {
		return false
	}
	return k.proves(position, hash, proof[digits:])
}

// ProofOf is what a phone shows with a cursor that stands at an entry.
func ProofOf(item schema.Pulled, receipt string) string {
	return journal.Hash(item.Entry, item.Stamp).String() + receipt
}

// settleKeys brings the keys in the file and those in the database together, makes one where there is none, and files
// an incident where keys may have been lost: what phones hold a lost key's receipts for, they can only hand back for review.
func (s *Store) settleKeys(ctx context.Context) error {
	path := filepath.Join(s.dir, KeyFile)
	beside, whole, err := readKeys(path)
	if err != nil {
		return err
	}
	var kept string
	if err := s.site.Read(ctx, func(snap Snap) error {
		kept, err = snap.Setting(metaKeys)
		return err
	}); err != nil {
		return err
	}
	inside, _ := parseKeys(kept)
	s.keys = joinKeys(beside, inside)
	// A journal that has entries and no key is one whose key is gone, or one of before receipts.
	lost := len(s.keys) == 0 && s.Head() > 0
	if s.keys.text() != kept || len(s.keys) == 0 {
		if err := s.site.Write(ctx, s.saveKeys); err != nil {
			return err
		}
	}
	if lost || !whole {
		if err := s.File(ctx, "", "receipt_key_lost", "The server's key for receipts was not there, or could not be read. "+
			"Notes that phones give back after a restored backup wait on the Phones page until somebody has decided."); err != nil {
			return err
		}
	}
	if whole && len(beside) == len(s.keys) {
		return nil
	}
	return db.WriteFile(path, []byte(s.keys.text()))
}

// saveKeys writes the keys into the database, with what another program may have put there meanwhile, and a fresh one
// where there is none at all.
func (s *Store) saveKeys(tx Tx) error {
	kept, err := tx.Setting(metaKeys)
	if err != nil {
		return err
	}
	inside, _ := parseKeys(kept)
	if s.keys = joinKeys(s.keys, inside); len(s.keys) == 0 {
		fresh := make([]byte, keyBytes)
		if _, err := io.ReadFull(s.random, fresh); err != nil {
			return fmt.Errorf("draw a key for receipts: %w", err)
		}
		s.keys = keyRing{fresh}
	}
	return tx.Set(metaKeys, s.keys.text())
}

// readKeys reads the key file. Whole is false when a part of it cannot be read as keys; the others are kept.
func readKeys(path string) (keys keyRing, whole bool, err error) {
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, true, nil
	}
	if err != nil {
		return nil, false, fmt.Errorf("read the keys for receipts: %w; let the server's user read %s", err, path)
	}
	keys, whole = parseKeys(string(raw))
	return keys, whole && len(keys) > 0, nil
}

func parseKeys(text string) (keys keyRing, whole bool) {
	whole = true
	for _, line := range strings.Fields(text) {
		key, err := hex.DecodeString(line)
		if err != nil || len(key) != keyBytes {
			whole = false
			continue
		}
		keys = append(keys, key)
	}
	return keys, whole
}

func (k keyRing) text() string {
	var out strings.Builder
	for _, key := range k {
		out.WriteString(hex.EncodeToString(key) + "\n")
	}
	return out.String()
}

// joinKeys is a followed by what only b has.
func joinKeys(a, b keyRing) keyRing {
	var all keyRing
	known := map[string]bool{}
	for _, key := range append(append(keyRing{}, a...), b...) {
		if !known[string(key)] {
			known[string(key)] = true
			all = append(all, key)
		}
	}
	return all
}
