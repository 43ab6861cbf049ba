package schema

import "encoding/json"

// Version is the schema version that this build writes. Entries of every version are accepted for ever.
const Version = 1

// MaxIncarnation is the last incarnation that an entry or a push may name.
const MaxIncarnation = 1_000_000

// Entry is one user action, immutable from the moment it is saved. Its canonical bytes (RFC 8785, see package
// journal) are what is chained, hashed and kept.
type Entry struct {
	// ID is 128 random bits in 32 lower-case hexadecimal digits; it never changes, not even when a copied phone has
	// to send the entry under a new incarnation.
	ID string `json:"id" validate:"id"`
	// Device and Incarnation name the writer; Seq counts its entries from 1 without a gap.
	Device      string `json:"device" validate:"required,max=32,alphanum"`
	Incarnation int    `json:"inc" validate:"min=1,max=1000000"`
	Seq         int64  `json:"seq" validate:"min=1,max=9007199254740991"`
	V           int    `json:"v" validate:"min=1,max=1000000"`
	Kind        string `json:"kind" validate:"required,max=32"`
	Person      string `json:"person" validate:"id"`
	// Lot and Bed say where the entry belongs, where it has such a place; digests are kept by lot.
	Lot string `json:"lot,omitempty" validate:"omitempty,id"`
	Bed string `json:"bed,omitempty" validate:"omitempty,id"`
	// Wall is the device's own clock in milliseconds since 1970, right or wrong. Session and Mono (milliseconds since
	// the session began) let the server tell how long ago the entry was made; Floor is the newest server time that
	// the device had seen when it wrote.
	Wall    int64           `json:"wall" validate:"min=0,max=9007199254740991"`
	Session string          `json:"session" validate:"required,max=32,alphanum"`
	Mono    int64           `json:"mono" validate:"min=0,max=9007199254740991"`
	Floor   int64           `json:"floor" validate:"min=0,max=9007199254740991"`
	Body    json.RawMessage `json:"body" validate:"required"`
}

// Quality says how well the time of an entry is known.
type Quality string

const (
	// Exact: the device's clock agreed with the server's within two minutes.
	Exact Quality = "exact"
	// Corrected: the device's clock was off by more than two minutes, and by how much was known.
	Corrected Quality = "corrected"
	// Bracketed: only a span is known, from Stamp.From to Stamp.To.
	Bracketed Quality = "bracketed"
	// Pending: the entry has not arrived; only its own phone has it.
	Pending Quality = "pending"
)

// Stamp is the server's word on when an entry was made, given once, at its first arrival. Merge order is At, then
// device, incarnation and sequence. All times are milliseconds since 1970, UTC.
type Stamp struct {
	At      int64   `json:"at"`
	Quality Quality `json:"quality"`
	From    int64   `json:"from"`
	To      int64   `json:"to"`
}

// Stamped is an entry with its stamp and its place in the server's journal (0 while pending).
type Stamped struct {
	Entry    Entry `json:"entry"`
	Stamp    Stamp `json:"stamp"`
	Position int64 `json:"position"`
}
