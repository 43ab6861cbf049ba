package sim

import (
	"errors"

	"bedwalk/schema"
)

// Host is a machine with a disk and the server on it, used as phones and browsers use it. Its calls come one at a
// time. The error ErrDied means that the server died in the call and gave no answer; any other is the host's own fault.
type Host interface {
	// Start starts the server on what the disk holds.
	Start() error
	// Stop ends the server at once; what was not committed is gone.
	Stop() error
	// Arm makes the next write fail in a given way.
	Arm(fault ServerFault)
	// Serve answers one request by all of the server's HTTP side.
	Serve(r Request) (Response, error)
	// AtOnce answers many requests at one time, as real connections are served.
	AtOnce(all []Request) []Response
	// Invite makes a pairing code, as `bedwalk pair` does.
	Invite(person, name, role string) (code string, err error)
	// Backup makes a backup and returns its number.
	Backup() (int, error)
	// Restore replaces the database by a backup; the server must be stopped. Whole also restores the files beside the
	// database, as when a whole disk is set back, so that the server cannot notice it by itself.
	Restore(backup int, whole bool) error
	// ConfirmClock is the owner's confirmation that the server's clock is right.
	ConfirmClock() error
	// Where returns the server's present epoch and its head.
	Where() (epoch string, head int64)
	// Dump returns everything that the server holds.
	Dump() (Dump, error)
	Close() error
}

// Folder is a Host whose data are files in a folder.
type Folder interface {
	Host
	// TakeAway deletes the files of the database under the running server, or replaces them by a backup's (0 for none).
	// It returns the number of the copy that the server then made of what it had open, as Backup does.
	TakeAway(backup int) (copied int, err error)
	// Second starts a second server on the same folder, and returns true when it was allowed to.
	Second() (bool, error)
}

// Servers is a Host of several servers of one nursery, behind one address: a request comes to any of those that run. Faults of its own are
// Unheard and Unsent, DatabaseAway in place of a full disk, and those that its methods are for.
type Servers interface {
	Host
	// KillOne ends one of the servers at once, where another runs. Revive starts those that have ended, as far as they start.
	KillOne() error
	Revive() error
	// StandStill has the server that writes next stand still at a moment of it, as a process that is stopped: its requests get no answer. GoOn lets it go on.
	StandStill(at Moment)
	GoOn() error
	// Follow remembers what a standby has, and returns the number of that. FailOver has it take the database's place under the running servers; 0 is one that lacks nothing.
	Follow() (int, error)
	FailOver(to int) error
}

// Moment is a moment of a write.
type Moment int

const (
	// BeforeIt has nothing begun. InIt has everything written and not committed, so that other servers wait. TooLong is InIt for so long that the database has
	// given the transaction up. AfterIt is committed and not answered.
	BeforeIt Moment = iota
	InIt
	TooLong
	AfterIt
)

// Request is one request of HTTP. Token is the cookie's, "" for none.
type Request struct {
	Method, Path, Token string
	Headers             map[string]string
	Body                []byte
	// Meanwhile is a request that is served while this one's transaction is open, if it opens one; its answer comes
	// with the response.
	Meanwhile *Request
}

// Response is an answer of HTTP, its body as sent. Token is that of the cookie that it sets.
type Response struct {
	Status    int
	Headers   map[string]string
	Body      []byte
	Token     string
	Meanwhile *Response
}

// Opener returns a host with an empty disk. Clock is the host's own clock in milliseconds since 1970, and may jump; mono
// is the one that does not; chance is its only source of randomness.
type Opener func(clock, mono func() int64, chance func([]byte)) (Host, error)

// ServerFault says how a write fails.
type ServerFault struct {
	Kind FaultKind
	// Statement is which statement from now on fails, from 1.
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
	ServerClock     FaultKind = "server clock jumped"
	Restored        FaultKind = "backup restored"
	DiskSetBack     FaultKind = "whole disk set back"
	FileDeleted     FaultKind = "database deleted under the server"
	FileReplaced    FaultKind = "database replaced under the server"
	TwoServers      FaultKind = "second server on one folder"
	PhoneLostToo    FaultKind = "phone lost on the day of a restore"
	Knocked         FaultKind = "revoked phone asks for all the same"
	Forged          FaultKind = "forged hand-back"
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
	AppKilled       FaultKind = "app killed at rest"
	KilledAtWork    FaultKind = "app killed between two steps of its database"
	PhoneFull       FaultKind = "phone storage full"
	PhoneCloned     FaultKind = "phone cloned"
	PhoneSetBack    FaultKind = "phone storage set back"
	PhoneCleared    FaultKind = "phone storage cleared"
	PhoneRevoked    FaultKind = "phone revoked"
	PairedAgain     FaultKind = "phone paired again"
	ClockOff        FaultKind = "phone clock off"
	ClockStepped    FaultKind = "phone clock stepped"
	PhoneSlept      FaultKind = "phone slept"
	Poison          FaultKind = "poison entry"
	Newer           FaultKind = "entry of a newer version"
	NotForRole      FaultKind = "note not for its writer's role"
	ReadMeanwhile   FaultKind = "page read while a batch is being written"
	SmallPages      FaultKind = "pages cut small"
	LateVoid        FaultKind = "striking out of a note of long ago"
	LargeDay        FaultKind = "day of hundreds of notes"
	LastSeason      FaultKind = "lot of last season"
	OwnHouses       FaultKind = "phones with houses of their own"
	OlderApps       FaultKind = "phones whose app is a version behind"
	Lied            FaultKind = "lie of a dishonest device"
	OneKilled       FaultKind = "one of two servers killed"
	StoodStill      FaultKind = "one of two servers stood still"
	Unheard         FaultKind = "answer to a commit lost"
	Unsent          FaultKind = "commit lost on its way"
	DatabaseAway    FaultKind = "database away"
	FailedOver      FaultKind = "a standby with everything took over"
	FailedBehind    FaultKind = "a standby that lacks the last commits took over"
)

// Dump is everything that a server holds, in the order of its journal.
type Dump struct {
	Epoch  string
	Head   int64
	Merged []Kept
	Aside  []Kept
	// Records are the canonical bytes of every record by its key.
	Records map[string][]byte
	// Reports are what the supervisor's page shows of each device.
	Reports map[string]Report
	// Complaints are what the database's own integrity check found.
	Complaints []string
}

// Report is what the server keeps of a device's last report of itself: whether it was equal up to a position, and how many of
// its notes were pending.
type Report struct {
	Position int64
	Equal    bool
	Pending  int
}

// Kept is one entry at the server, its bytes as received. Writer's name is as the server filed it, which is all there is for an entry
// that cannot be read.
type Kept struct {
	Number int64
	State  string
	// Why is what is wrong with a quarantined one.
	Why      string
	Device   string
	Inc      int
	Seq      int64
	Stamp    schema.Stamp
	Position int64
	Received int64
	Raw      []byte
}

// ErrDied says that the server died before it answered, ErrNoAnswer that one of several died or stands still and the others go on.
var (
	ErrDied     = errors.New("the server died before it answered; start it again")
	ErrNoAnswer = errors.New("no answer came from the server that was asked")
)
