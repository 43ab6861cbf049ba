package schema

import "encoding/json"

// Record keys name what the fold makes: "bed:ID", "pot:ID", "stock:LOTID", ... Every entry says by its own body alone
// which records it has a part in, so a record can be folded from the entries that name its key and no others.
//
// Record is what all entries of one key add up to, the same on every device. Exactly one of the parts is set, by the
// key's prefix: Register for site, house, bed, lot, span, person, profile, booking, round, task, matter and cultivar; Pot; Walk; Stock; Fact
// for fact (event, application, reading, rooting, note, photo and skip) and for trace.
type Record struct {
	Key      string    `json:"key"`
	Lot      string    `json:"lot,omitempty"`
	Bed      string    `json:"bed,omitempty"`
	Register *Register `json:"register,omitempty"`
	Pot      *Pot      `json:"pot,omitempty"`
	Walk     *WalkPart `json:"walk,omitempty"`
	Stock    *Stock    `json:"stock,omitempty"`
	Fact     *Fact     `json:"fact,omitempty"`
}

// Register holds the fields of one thing. A field in which people disagree has Others.
type Register struct {
	Of     string           `json:"of"`
	Fields map[string]Field `json:"fields"`
}

// Field is one register: the shown value (of the live write with the highest stamp), the other live values, and Live:
// the ids of all live writes, sorted, which a new write names as seen.
type Field struct {
	Value  json.RawMessage `json:"value"`
	By     Authorship      `json:"by"`
	Others []Other         `json:"others,omitempty"`
	Live   []string        `json:"live"`
}

// Other is a live value that is not the shown one.
type Other struct {
	Value json.RawMessage `json:"value"`
	By    Authorship      `json:"by"`
}

// Authorship is who wrote an entry, on what, and when.
type Authorship struct {
	Entry  string `json:"entry"`
	Person string `json:"person"`
	Device string `json:"device"`
	Stamp  Stamp  `json:"stamp"`
}

// Voided says that something was struck out.
type Voided struct {
	By    Authorship `json:"by"`
	Why   string     `json:"why"`
	Words string     `json:"words,omitempty"`
}

// Pot is one pulled pot: what it showed, as corrected. First is the entry that noted it; By the one that is shown.
// Others are corrections made apart from the shown one. Versions counts all that were ever written.
type Pot struct {
	Now      Observation   `json:"now"`
	First    Authorship    `json:"first"`
	By       Authorship    `json:"by"`
	Others   []Alternative `json:"others,omitempty"`
	Versions int           `json:"versions"`
	Voided   *Voided       `json:"voided,omitempty"`
}

// Alternative is a correction made apart from the shown one.
type Alternative struct {
	Now Observation `json:"now"`
	By  Authorship  `json:"by"`
}

// WalkPart is the record of one walk: its opening, and its last end.
type WalkPart struct {
	Open   *Walk       `json:"open,omitempty"`
	By     *Authorship `json:"by,omitempty"`
	End    *WalkEnd    `json:"end,omitempty"`
	EndBy  *Authorship `json:"end_by,omitempty"`
	Voided *Voided     `json:"voided,omitempty"`
}

// Stock is a lot's ledger folded: pots by span id ("" for pots on no bed), their sum, and every line.
type Stock struct {
	Pots   int            `json:"pots"`
	BySpan map[string]int `json:"by_span"`
	Lines  []StockLine    `json:"lines"`
}

// StockLine is one line of the ledger, in merge order. Counted is set for a recount, Change for all others.
type StockLine struct {
	Span    string     `json:"span,omitempty"`
	Change  int        `json:"change,omitempty"`
	Counted *int       `json:"counted,omitempty"`
	Reason  string     `json:"reason"`
	Words   string     `json:"words,omitempty"`
	By      Authorship `json:"by"`
	Voided  *Voided    `json:"voided,omitempty"`
	// Settled is set on recounts that a later recount of the same span replaced.
	Settled bool `json:"settled,omitempty"`
}

// Fact is an immutable note of any other kind, with its body as written.
type Fact struct {
	Kind   string          `json:"kind"`
	Body   json.RawMessage `json:"body"`
	By     Authorship      `json:"by"`
	Voided *Voided         `json:"voided,omitempty"`
}
