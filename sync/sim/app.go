package sim

import (
	"encoding/json"

	"bedwalk/schema"
)

// Apps runs the app of every phone of one day: the phone's real modules, each phone with a storage that outlives the
// app. An error is a fault of the driver; the reply reports what the app itself does wrong.
type Apps interface {
	Do(c Command) (Reply, error)
}

// Command is one thing that happens to a phone. The app works until it is at rest, and then reports its state.
type Command struct {
	// Do is day (forget all phones), start, end, save, wake, pair, house, time (timers are due), answer, full, copy or read.
	Do    string `json:"do"`
	Phone string `json:"phone"`
	// To names the phone that gets a copy of the storage.
	To string `json:"to,omitempty"`
	// At is the true time; Wall and Mono are the phone's two clocks.
	At   int64 `json:"at"`
	Wall int64 `json:"wall"`
	Mono int64 `json:"mono"`
	// Seed is the seed of a start's random numbers.
	Seed uint32 `json:"seed,omitempty"`
	// Kill ends the app after so many steps (database answers mostly), whatever it is doing; 0 lets it live.
	Kill   int     `json:"kill,omitempty"`
	Notes  []note  `json:"notes,omitempty"`
	Reason string  `json:"reason,omitempty"`
	Code   string  `json:"code,omitempty"`
	Ask    int     `json:"ask,omitempty"`
	Answer *answer `json:"answer,omitempty"`
	Full   bool    `json:"full,omitempty"`
	// Older starts an app that is a version behind.
	Older bool `json:"older,omitempty"`
	// House is opened on the phone, or closed again.
	House string `json:"house,omitempty"`
	Shut  bool   `json:"shut,omitempty"`
}

// note is a note as its writer means it, before it has a number.
type note struct {
	ID   string `json:"id"`
	Kind string `json:"kind"`
	Body object `json:"body"`
	Lot  string `json:"lot,omitempty"`
	Bed  string `json:"bed,omitempty"`
	// Basis is the lot whose ledger a recount has to name as this phone knows it.
	Basis string `json:"basis,omitempty"`
	// V is set on a note of a newer build; Spoil on one of a faulty build: how its bytes are spoiled.
	V     int    `json:"v,omitempty"`
	Spoil string `json:"spoil,omitempty"`
	// unfit is why the server must quarantine it until somebody has decided, "" where it need not.
	unfit string
}

// answer is what a phone gets to a request. Cut means that its body ended before it was whole.
type answer struct {
	Status int    `json:"status"`
	Type   string `json:"type"`
	Body   []byte `json:"body"`
	Cut    bool   `json:"cut,omitempty"`
}

// Reply is a phone's state at rest.
type Reply struct {
	// Asks are its new requests; Open is how many have no answer yet.
	Asks []ask `json:"asks"`
	Open int   `json:"open"`
	// Died is set when the app was killed during the command, Said when it had reported before that that it was done.
	Died bool            `json:"died"`
	Said bool            `json:"said"`
	Gave json.RawMessage `json:"gave"`
	// Next is the true time of its next timer, 0 for none.
	Next int64 `json:"next"`
	// State is what its sync worker does, or why it cannot, with the reason in Detail.
	State  string `json:"state"`
	Detail string `json:"detail"`
	// What is on its storage.
	Pending int               `json:"pending"`
	Parked  int               `json:"parked"`
	Writer  *writer           `json:"writer"`
	Cursor  cursor            `json:"cursor"`
	Doubt   bool              `json:"doubt"`
	Digest  verdict           `json:"digest"`
	Sums    map[string]lotSum `json:"sums"`
	// First is true while its first pull leaves notes out that it has not counted yet; Gone is what it has let go, by lot.
	First bool            `json:"first"`
	Gone  map[string]away `json:"gone"`
	// Houses are those of which it keeps the notes, empty where it keeps all.
	Houses []string `json:"houses"`
	// Entries and Records are there only after read.
	Entries changes[row]    `json:"entries"`
	Records changes[record] `json:"records"`
	// Wrong lists the app's errors that nothing caught.
	Wrong []string `json:"wrong"`
}

// changes is what became of a store since it was last read; all that is in it where Whole is true.
type changes[T any] struct {
	Whole bool     `json:"whole"`
	Put   []T      `json:"put"`
	Gone  []string `json:"gone"`
}

type ask struct {
	ID      int               `json:"id"`
	Method  string            `json:"method"`
	Path    string            `json:"path"`
	Headers map[string]string `json:"headers"`
	Body    []byte            `json:"body"`
	// sentAt is the true time.
	sentAt int64
}

// The phone's own rows, as pwa/src/journal/store/shape.ts has them.
type (
	writer struct {
		Device  string   `json:"device"`
		Inc     int      `json:"inc"`
		Person  string   `json:"person"`
		Seq     int64    `json:"seq"`
		Floor   int64    `json:"floor"`
		Earlier []string `json:"earlier"`
	}
	cursor struct {
		Epoch    string `json:"epoch"`
		Position int64  `json:"position"`
	}
	// verdict is the server's last answer to the phone's digest, as the phone received it.
	verdict struct {
		Equal    bool  `json:"equal"`
		Position int64 `json:"position"`
	}
	lotSum struct {
		Count int    `json:"count"`
		Sum   string `json:"sum"`
	}
	row struct {
		ID       string          `json:"id"`
		Raw      json.RawMessage `json:"entry"`
		Stamp    schema.Stamp    `json:"stamp"`
		Position int64           `json:"position"`
		Keys     []string        `json:"keys"`
		Text     string          `json:"text"`
		Own      []any           `json:"own"`
		Pending  []any           `json:"pending"`
		State    string          `json:"state"`

		entry schema.Entry
	}
	record struct {
		Key  string `json:"key"`
		Hash string `json:"hash"`
		Text string `json:"text"`
	}
)

// apart is true for what the server keeps out of the records, as far as the phone knows.
func (r row) apart() bool {
	return r.State == "quarantined" || r.State == "inReview" || r.State == "rejected"
}

// parked is true for notes that wait until another person pairs this phone again.
func (r row) parked() bool { return r.State == "parked" }

// counts is true for what has a part in the phone's records.
func (r row) counts() bool { return r.State != "rejected" && r.State != "returned" }

// stamped is the entry as the phone folds it: a quarantined one counts on its own phone like a pending one.
func (r row) stamped() schema.Stamped {
	stamp := r.Stamp
	if r.apart() {
		stamp = schema.Stamp{At: r.entry.Wall, Quality: schema.Pending, From: r.entry.Wall, To: r.entry.Wall}
	}
	return schema.Stamped{Entry: r.entry, Stamp: stamp, Position: r.Position}
}
