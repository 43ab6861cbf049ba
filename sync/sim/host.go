package sim

import (
	"encoding/json"
	"errors"
	"fmt"

	"bedwalk/schema"
)

// Host is a machine with a disk and the server on it. Its calls come one at a time. An error is ErrDied when the
// server died in the call and gave no answer, a *Problem when it refused, and anything else is a fault of the server
// (status 500), after which nothing of the call may have been kept.
type Host interface {
	// Start brings the server up on what the disk holds.
	Start() error
	// Stop ends the server at once; what was not committed is gone.
	Stop() error
	// Arm lets the next push meet a fault.
	Arm(fault ServerFault)
	Push(push schema.Push, from Sender) (schema.PushAnswer, error)
	Pull(device, epoch string, after int64, limit int, proof string) (schema.Pull, error)
	Compare(digest schema.Digest) (schema.DigestAnswer, error)
	Incarnation(device string) (int, error)
	// Writer is a device's newest incarnation and how much of it is here.
	Writer(device string) (inc int, high int64, err error)
	// HandBack takes notes that other devices wrote, from one that still has them.
	HandBack(raws []json.RawMessage) error
	// Decide settles an entry that was kept aside.
	Decide(aside int64, merge bool) error
	// Backup makes a backup and gives its number.
	Backup() (int, error)
	// Restore puts a backup in the place of the database; the server must be stopped. Whole also puts back what lies
	// beside the database, as when a whole disk is set back, so that the server cannot see by itself that it was.
	Restore(backup int, whole bool) error
	// Where is the server's present line of history and its head.
	Where() (epoch string, head int64)
	// Dump is everything that the server holds.
	Dump() (Dump, error)
	// SkipTo makes the server believe that it has a device's entries up to high. It serves a planted fault alone.
	SkipTo(device string, inc int, high int64, chain string) error
	Close() error
}

// Sender is what the server knows of who pushes.
type Sender struct {
	PairedAt int64
	Revoked  bool
}

// Opener gives a host with an empty disk. Clock is the host's own clock in milliseconds since 1970, and may jump;
// chance gives it all its randomness.
type Opener func(clock func() int64, chance func([]byte)) (Host, error)

// ServerFault is what a push meets.
type ServerFault struct {
	Kind FaultKind
	// Statement is which statement of the push fails, from 1.
	Statement int
}

// FaultKind names faults as the report counts them.
type FaultKind string

const (
	DieBeforeInsert FaultKind = "server killed before insert"
	DieBeforeCommit FaultKind = "server killed before commit"
	DieAfterCommit  FaultKind = "server killed after commit"
	FailStatement   FaultKind = "statement failed"
	DiskFull        FaultKind = "disk full"
	ServerKilled    FaultKind = "server killed"
	ServerClock     FaultKind = "server clock set back"
	Restored        FaultKind = "backup restored"
	DiskSetBack     FaultKind = "whole disk set back"
	Dropped         FaultKind = "request dropped"
	AnswerDropped   FaultKind = "answer dropped"
	Repeated        FaultKind = "request repeated"
	Delayed         FaultKind = "request delayed past its time"
	Cut             FaultKind = "request cut in its body"
	AnswerCut       FaultKind = "answer cut in its body"
	Portal          FaultKind = "portal page in place of an answer"
	Unauthorised    FaultKind = "401"
	TooMany         FaultKind = "429"
	ServerError     FaultKind = "500"
	LinkCut         FaultKind = "link cut"
	AppKilled       FaultKind = "app killed"
	KilledInSave    FaultKind = "app killed between tap and save"
	PhoneCloned     FaultKind = "phone cloned"
	PhoneSetBack    FaultKind = "phone storage set back"
	PhoneCleared    FaultKind = "phone storage cleared"
	PhoneRevoked    FaultKind = "phone revoked"
	ClockOff        FaultKind = "phone clock off"
	ClockStepped    FaultKind = "phone clock stepped"
	PhoneSlept      FaultKind = "phone slept"
	Poison          FaultKind = "poison entry"
	Newer           FaultKind = "entry of a newer version"
)

// Dump is everything that a server holds, in the order of its journal.
type Dump struct {
	Epoch  string
	Head   int64
	Merged []Kept
	Aside  []Kept
	// Records are the canonical bytes of every record by its key.
	Records map[string][]byte
	// Complaints are what the database's own integrity check found.
	Complaints []string
}

// Kept is one entry at the server, its bytes as received. Writer's name is as the server filed it, which for an entry
// that cannot be read is all there is.
type Kept struct {
	Number int64
	State  string
	// Why is what is wrong with one that is kept aside.
	Why      string
	Device   string
	Inc      int
	Seq      int64
	Stamp    schema.Stamp
	Position int64
	Received int64
	Raw      []byte
}

// ErrDied says that the server died before it answered.
var ErrDied = errors.New("the server died before it answered; start it again")

// Problem is a refusal with its status, as the server's HTTP side would give it.
type Problem struct{ schema.Problem }

func (p *Problem) Error() string { return fmt.Sprintf("%d %s: %s", p.Status, p.Code, p.Detail) }
