package fold

import (
	"crypto/sha256"
	"encoding/hex"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Hash is one record's part in the hash over all records: the first 16 bytes of SHA-256 of its canonical bytes.
// Hashes are added up, so that a device keeps the sum and changes it record by record. The error is one of canonical
// bytes; only bodies that were not canonical cause it.
func Hash(record schema.Record) (journal.Sum, error) {
	canonical, err := Text(record)
	if err != nil {
		return journal.Sum{}, err
	}
	return HashOf(canonical), nil
}

// HashOf is Hash for a record whose canonical bytes are at hand.
func HashOf(canonical []byte) journal.Sum {
	whole := sha256.Sum256(canonical)
	return journal.Sum(whole[:16])
}

// Total is the hash over all records, from the sum of their hashes, as a digest carries it: 64 hexadecimal digits.
func Total(sum journal.Sum) string {
	whole := sha256.Sum256(sum[:])
	return hex.EncodeToString(whole[:])
}
