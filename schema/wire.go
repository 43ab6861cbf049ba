package schema

import "encoding/json"

// ContentProblem is the media type of every error answer (RFC 9457).
const ContentProblem = "application/problem+json"

// Problem is an error answer. Code is stable; Detail is a sentence; Remedy says what to do.
type Problem struct {
	Type   string `json:"type"`
	Title  string `json:"title"`
	Status int    `json:"status"`
	Code   string `json:"code"`
	Detail string `json:"detail"`
	Remedy string `json:"remedy"`
	// High is the last sequence that the server has of the device, with codes gap, fork and revoked.
	High *int64 `json:"high,omitempty"`
	// Epoch and ForkedAt come with code rewind: pull again from position ForkedAt in Epoch. With code revoked Epoch is
	// the present one, since a revoked phone learns of a restored backup in no other way.
	Epoch    string `json:"epoch,omitempty"`
	ForkedAt *int64 `json:"forked_at,omitempty"`
	// Incarnation is the new one to take, with code fork, and the one that High is of, with code revoked.
	Incarnation *int `json:"inc,omitempty"`
}

// NewProblem makes a Problem from an HTTP status, a stable code, and two sentences: what is wrong and what to do. It serves as
// a sentinel error too; callers test for it by errors.Is.
func NewProblem(status int, code, detail, remedy string) *Problem {
	return &Problem{Status: status, Code: code, Detail: detail, Remedy: remedy}
}

// Error is both sentences, as the command line shows them.
func (p *Problem) Error() string { return p.Detail + " " + p.Remedy }

// Push is a batch of one device's entries, in sequence from From on without a gap. Chain is the chain hash (hex) of
// the entry before From, empty before the first. SentWall, SentMono and Session are read at sending, Pending counts
// what still waits on the device behind this batch.
type Push struct {
	V           int               `json:"v" validate:"min=1"`
	Device      string            `json:"device" validate:"required,max=32,alphanum"`
	Incarnation int               `json:"inc" validate:"min=1,max=1000000"`
	Epoch       string            `json:"epoch" validate:"max=32"`
	From        int64             `json:"from" validate:"min=1"`
	Chain       string            `json:"chain" validate:"omitempty,len=64,hexadecimal"`
	Session     string            `json:"session" validate:"required,max=32"`
	SentWall    int64             `json:"sent_wall" validate:"min=0"`
	SentMono    int64             `json:"sent_mono" validate:"min=0"`
	Pending     int               `json:"pending" validate:"min=0"`
	Entries     []json.RawMessage `json:"entries" validate:"min=1,max=500"`
}

// PushAnswer acknowledges a batch: every entry up to High is committed at the server. Given holds one item an entry
// of the batch, in its order. ServerNow is a time (ms since 1970) that is sure to have passed, the floor of later notes.
type PushAnswer struct {
	High       int64   `json:"high"`
	Given      []Given `json:"given"`
	Epoch      string  `json:"epoch"`
	Head       int64   `json:"head"`
	ServerNow  int64   `json:"server_now"`
	BackedUpTo int64   `json:"backed_up_to"`
}

// Given is the server's answer to one entry: its place and stamp, or why it is quarantined.
type Given struct {
	ID       string `json:"id"`
	Position int64  `json:"position,omitempty"`
	Stamp    Stamp  `json:"stamp"`
	// State is "merged", "quarantined" (kept, shown to the supervisor, not merged), "review" (from a revoked device) or "left"
	// (a supervisor has decided to leave it out).
	State  string  `json:"state"`
	Faults []Fault `json:"faults,omitempty"`
}

// Pull is one page of the journal after a cursor. ServerNow is as in PushAnswer.
type Pull struct {
	Epoch      string   `json:"epoch"`
	Head       int64    `json:"head"`
	Items      []Pulled `json:"items"`
	More       bool     `json:"more"`
	ServerNow  int64    `json:"server_now"`
	BackedUpTo int64    `json:"backed_up_to"`
	// Receipts is the server's proof to itself that it gave each item's entry that position and that stamp: ReceiptChars
	// characters an item, in their order, which only its own key can make. Whoever hands an entry back shows its own.
	// They stand together because one beside each entry would cost twice as much in gzip.
	Receipts string `json:"receipts"`
	// First comes while the page is of a first pull that leaves out the notes of closed lots.
	First *FirstPull `json:"first,omitempty"`
}

// ReceiptChars is how long the receipt of one entry is: 36 bits in base64url.
const ReceiptChars = 6

// Pulled is one entry of a page, its bytes as the writer made them.
type Pulled struct {
	Position int64           `json:"position"`
	Stamp    Stamp           `json:"stamp"`
	Entry    json.RawMessage `json:"entry"`
}

// HandBack gives the server notes of other devices that it lost when it was set back, as this device once pulled them
// from it. Epoch is the server's present one, as the sender knows it. Receipts has what came with each entry, in their
// order; an entry without one (or with one that the server did not make) is kept for a supervisor to decide on.
type HandBack struct {
	Epoch    string            `json:"epoch" validate:"required,max=32"`
	Entries  []json.RawMessage `json:"entries" validate:"min=1,max=500"`
	Receipts []Receipt         `json:"receipts,omitempty" validate:"max=500"`
}

// Receipt is what a pull said of an entry besides its bytes. It is empty for an entry that came without one.
type Receipt struct {
	Position int64  `json:"position"`
	Stamp    Stamp  `json:"stamp"`
	Receipt  string `json:"receipt"`
}

// HandedBack counts what became of them. Known were here again already; Quarantined wait for a decision. Refused names those
// that were not kept, because too many of this phone wait already: it goes on keeping them.
type HandedBack struct {
	Merged      int      `json:"merged"`
	Known       int      `json:"known"`
	Quarantined int      `json:"quarantined"`
	Refused     []string `json:"refused,omitempty"`
}

// QuarantineAsk asks what became of notes in quarantine.
type QuarantineAsk struct {
	IDs []string `json:"ids" validate:"min=1,max=500,dive,id"`
}

// QuarantineAnswer names those of them that the server has.
type QuarantineAnswer struct {
	Notes []QuarantinedNote `json:"notes"`
}

// QuarantinedNote is what became of one note, State as in Given.
type QuarantinedNote struct {
	ID     string  `json:"id"`
	State  string  `json:"state"`
	Faults []Fault `json:"faults"`
}

// ClockConfirm is an owner's word that the server's clock is right, which showed Now (ms since 1970).
type ClockConfirm struct {
	Now int64 `json:"now" validate:"min=1"`
}

// Nudge is all that the WebSocket ever says: the server is at Head, in Epoch.
type Nudge struct {
	Epoch string `json:"epoch"`
	Head  int64  `json:"head"`
	Build string `json:"build"`
}

// Health is what a server says of itself to whatever watches it: its build, and since when (ms since 1970) it runs.
type Health struct {
	Build string `json:"build"`
	Since int64  `json:"since"`
}

// PairAsk redeems a one-time pairing code. Secret is drawn by the device for this code and sent again with each try, so
// that a device whose answer was lost on the way can ask once more; older apps send none. Epoch is that of the notes which the device holds already, so that
// one whose cookie was lost is not let into another nursery with them; older apps send none, nor do those that hold nothing.
type PairAsk struct {
	Code   string `json:"code" validate:"required,max=40"`
	Name   string `json:"name" validate:"required,max=60"`
	Secret string `json:"secret,omitempty" validate:"omitempty,len=64,hexadecimal"`
	Epoch  string `json:"epoch,omitempty" validate:"max=64"`
}

// Me is what a paired device knows of itself. The token travels only in an HttpOnly cookie.
type Me struct {
	Device      string `json:"device"`
	DeviceName  string `json:"device_name"`
	Incarnation int    `json:"inc"`
	Person      string `json:"person"`
	PersonName  string `json:"person_name"`
	Role        string `json:"role"`
	SiteName    string `json:"site_name"`
	// TimeZone is the nursery's, by its IANA name; "" where nobody has set it, and an older server sends none.
	TimeZone string `json:"time_zone,omitempty"`
	Epoch    string `json:"epoch"`
	Head     int64  `json:"head"`
	// High is the last sequence of this device's current incarnation at the server.
	High      int64  `json:"high"`
	ServerNow int64  `json:"server_now"`
	Build     string `json:"build"`
}

// IncidentSeen puts an incident away as it stood at At, its last time when it was read.
type IncidentSeen struct {
	Device string `json:"device" validate:"max=32"`
	Code   string `json:"code" validate:"required,max=40"`
	At     int64  `json:"at" validate:"min=1"`
}

// DecideAll decides on all notes of a device that wait, up to a number that was shown: merge what nothing but the
// revocation speaks against, or leave all.
type DecideAll struct {
	Device   string `json:"device" validate:"required,max=64"`
	UpTo     int64  `json:"up_to" validate:"min=1"`
	Decision string `json:"decision" validate:"oneof=merge leave"`
}

// DecidedAll counts what was decided, and what still waits of that.
type DecidedAll struct {
	Decided     int `json:"decided"`
	Quarantined int `json:"quarantined"`
}

// PairingAsk makes a pairing code for a person (an existing one by id, or a new one by name).
type PairingAsk struct {
	Person string `json:"person,omitempty" validate:"omitempty,id"`
	Name   string `json:"name,omitempty" validate:"max=80"`
	Role   string `json:"role" validate:"oneof=scout supervisor owner"`
}

// Pairing is a code, good once and until Until (ms since 1970).
type Pairing struct {
	Code  string `json:"code"`
	Link  string `json:"link"`
	Role  string `json:"role"`
	Until int64  `json:"until"`
}

// Digest is what a phone reports after a pull: for each lot ("" for entries of no lot) how many entries it holds up to
// Position and the sum modulo 2^128 of their hashes, and one hash over all records that it folded from them.
type Digest struct {
	Device   string      `json:"device" validate:"required,max=32"`
	Epoch    string      `json:"epoch" validate:"required,max=32"`
	Position int64       `json:"position" validate:"min=0,max=9007199254740991"`
	Lots     []LotDigest `json:"lots" validate:"max=100000,dive"`
	Records  string      `json:"records,omitempty" validate:"omitempty,len=64,hexadecimal"`
	// Fold is the FoldVersion by which the phone's records were made. Records are compared only where it is the server's.
	Fold    int `json:"fold,omitempty" validate:"min=0,max=1000"`
	Pending int `json:"pending" validate:"min=0"`
	// Photos still on the phone, and the device's clock when it sent this.
	Photos   int   `json:"photos" validate:"min=0"`
	SentWall int64 `json:"sent_wall" validate:"min=0"`
}

// LotDigest is one lot's count and 128-bit sum (32 hexadecimal digits), those of notes that the phone let go included: Gone says how many
// of Count they are. RecordSum is the sum of the hashes of the lot's records, those of notes let go included; a phone sends it for
// every lot, once it was answered that its records differ. Counted is how many notes the lot had before the phone read the journal again,
// having let some of them go; a phone sends it once, where the lot has fewer now.
type LotDigest struct {
	Lot       string `json:"lot" validate:"omitempty,id"`
	Count     int    `json:"count" validate:"min=0"`
	Sum       string `json:"sum" validate:"len=32,hexadecimal"`
	Gone      int    `json:"gone,omitempty" validate:"min=0"`
	RecordSum string `json:"record_sum,omitempty" validate:"omitempty,len=32,hexadecimal"`
	Counted   int    `json:"counted,omitempty" validate:"min=0"`
}

// DigestAnswer says whether the phone's entries equal the server's; Differ names lots that do not, and Lots has the server's count and sum of
// each of them at the digest's position: what a phone reads again of a lot is proven by these. RecordsDiffer names lots whose records
// differ, where the phone sent their sums. Each list ends after MaxDiffer lots: More says that there are others.
type DigestAnswer struct {
	Equal         bool        `json:"equal"`
	Differ        []string    `json:"differ,omitempty"`
	Lots          []LotDigest `json:"lots,omitempty"`
	RecordsDiffer []string    `json:"records_differ,omitempty"`
	More          bool        `json:"more,omitempty"`
	Head          int64       `json:"head"`
	// Fold is the server's FoldVersion.
	Fold int `json:"fold,omitempty"`
	// BackedUpTo is the newest backup's position.
	BackedUpTo int64 `json:"backed_up_to"`
}

// MaxDiffer is how many lots an answer to a digest names at most.
const MaxDiffer = 200

// Decision is what a supervisor says about a note in quarantine.
type Decision struct {
	Decision string `json:"decision" validate:"oneof=merge leave"`
}

// Incarnation is the incarnation under which a device writes from now on.
type Incarnation struct {
	Incarnation int `json:"inc" validate:"min=1,max=1000000"`
}

// UnsentFile is what a phone exports when nothing else is left. Bedwalk is "unsent notes".
type UnsentFile struct {
	Bedwalk string            `json:"bedwalk"`
	Device  string            `json:"device"`
	Entries []json.RawMessage `json:"entries"`
	// Aside are notes that the phone could not even write into its own journal.
	Aside []json.RawMessage `json:"aside,omitempty"`
}

// UnsentAnswer counts what became of a file's notes.
type UnsentAnswer struct {
	Entries int `json:"entries"`
	Merged  int `json:"merged"`
	// Known were here already; Quarantined wait for a decision on the Phones page.
	Known       int `json:"known"`
	Quarantined int `json:"quarantined"`
}
