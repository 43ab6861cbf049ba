package journal

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math/bits"
	"strconv"

	"bedwalk/schema"
)

// Chain is the chain hash after an entry: SHA-256 of the hash before it and its canonical bytes. The hash before a
// device's first entry is 32 zero bytes.
func Chain(prev [32]byte, canonical []byte) [32]byte {
	h := sha256.New()
	h.Write(prev[:])
	h.Write(canonical)
	var next [32]byte
	h.Sum(next[:0])
	return next
}

// ChainHex writes a chain hash for the wire: "" before the first entry, else 64 hexadecimal digits.
func ChainHex(chain [32]byte) string {
	if chain == ([32]byte{}) {
		return ""
	}
	return hex.EncodeToString(chain[:])
}

// ParseChain reads what ChainHex writes.
func ParseChain(text string) (chain [32]byte, err error) {
	if text == "" {
		return chain, nil
	}
	if len(text) != 64 || !lowerHex(text) {
		return chain, fmt.Errorf("a chain hash is empty or 64 lower-case hexadecimal digits, not %q; send the hash of the entry before", text)
	}
	_, err = hex.Decode(chain[:], []byte(text))
	return chain, err
}

// Sum is an entry's hash, or the sum modulo 2^128 of many, big-endian. It is a sum, not an exclusive or, so that an
// entry counted twice does not cancel out.
type Sum [16]byte

// Hash is one entry's part in its lot's digest: the first 16 bytes of SHA-256 over its canonical bytes, a line feed,
// and its stamp's canonical bytes.
func Hash(canonical []byte, st schema.Stamp) Sum {
	h := sha256.New()
	h.Write(canonical)
	var buffer [128]byte
	h.Write(appendStamp(append(buffer[:0], '\n'), st))
	var whole [32]byte
	h.Sum(whole[:0])
	return Sum(whole[:16])
}

func appendStamp(out []byte, st schema.Stamp) []byte {
	out = strconv.AppendInt(append(out, `{"at":`...), st.At, 10)
	out = strconv.AppendInt(append(out, `,"from":`...), st.From, 10)
	out = appendString(append(out, `,"quality":`...), []byte(st.Quality))
	out = strconv.AppendInt(append(out, `,"to":`...), st.To, 10)
	return append(out, '}')
}

func (s Sum) halves() (high, low uint64) {
	return binary.BigEndian.Uint64(s[:8]), binary.BigEndian.Uint64(s[8:])
}

func fromHalves(high, low uint64) (s Sum) {
	binary.BigEndian.PutUint64(s[:8], high)
	binary.BigEndian.PutUint64(s[8:], low)
	return s
}

// Add is s + other modulo 2^128.
func (s Sum) Add(other Sum) Sum {
	high, low := s.halves()
	otherHigh, otherLow := other.halves()
	low, carry := bits.Add64(low, otherLow, 0)
	high, _ = bits.Add64(high, otherHigh, carry)
	return fromHalves(high, low)
}

// Sub is s - other modulo 2^128.
func (s Sum) Sub(other Sum) Sum {
	high, low := s.halves()
	otherHigh, otherLow := other.halves()
	low, borrow := bits.Sub64(low, otherLow, 0)
	high, _ = bits.Sub64(high, otherHigh, borrow)
	return fromHalves(high, low)
}

// String writes the sum as 32 lower-case hexadecimal digits.
func (s Sum) String() string { return hex.EncodeToString(s[:]) }

func lowerHex(text string) bool {
	for _, c := range []byte(text) {
		if (c < '0' || '9' < c) && (c < 'a' || 'f' < c) {
			return false
		}
	}
	return true
}
