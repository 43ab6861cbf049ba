package journal

import (
	"context"
	"iter"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Site is where the journal of one nursery lies. It finds rows and puts rows: which notes are taken, at which place, and what they add up
// to is decided above it, once for every kind of store. The tests in server/store hold what each must do.
type Site interface {
	// Prepare makes ready what is asked for every note.
	Prepare(ctx context.Context) error
	// Write runs f alone. All that f puts is on the disk when Write returns nil, and none of it after an error of f. Whether it is after
	// another error only the site knows.
	Write(ctx context.Context, f func(Tx) error) error
	// Read runs f on one moment.
	Read(ctx context.Context, f func(Snap) error) error
	// Present is nil while the site is still the one that was opened.
	Present() error
}

// Snap reads one moment. Whatever it gives is the caller's to keep, but for the bytes of a Row. Bytes are nil where those of a note can no
// longer be put together.
type Snap interface {
	Settings
	Notes
	Folded
	Sums
	Quarantine
	Phones
	Scores
	Checks
}

// Settings are the journal's own few values.
type Settings interface {
	// Head is the position of the last note, 0 where there is none.
	Head() (int64, error)
	// Setting is "" where there is none.
	Setting(name string) (string, error)
	// Epochs are in the order in which they began.
	Epochs() ([]Epoch, error)
	// Chain is where a writer's chain stands, the zero Chain where it has written nothing; NewestChain that of a device's newest incarnation.
	Chain(device string, inc int) (Chain, error)
	NewestChain(device string) (inc int, c Chain, found bool, err error)
	// State visits the rows of some tables as an export has them.
	State(tables []string, visit func(StateRow) error) error
}

// Notes are the merged notes. Unless something else is said they come in the order of their positions.
type Notes interface {
	// After are the notes after a position, at most limit; AfterBut those of them that are not left out.
	After(position int64, limit int) iter.Seq2[Line, error]
	AfterBut(position int64, limit int, but LeftOut) iter.Seq2[Line, error]
	// Rows are the notes after a position and up to another, with all that is filed of them; RowsBack the same with the last one first. The
	// bytes of a row are good until the next one comes.
	Rows(after, upTo int64) iter.Seq2[Row, error]
	RowsBack(after, upTo int64) iter.Seq2[Row, error]
	// HasLot says whether any note is of a lot. OfLot are the notes of one after a position and up to another, at most limit, and OfKeys
	// those that have a part in one of some records, or one of some ids.
	HasLot(lot string) (bool, error)
	OfLot(lot string, after, upTo int64, limit int) iter.Seq2[Line, error]
	OfKeys(keys, ids []string, after, upTo int64, limit int) iter.Seq2[Line, error]
	// ChangedIn are the notes of a lot after a position, and those of some other positions, in any order.
	ChangedIn(lot int64, after int64, also []int64) ([]Line, error)
	// History are the newest lines of a lot's history before a place, by the time of their stamps, the newest first; HistoryOfWalk the
	// pots that a walk noted of it, in the same order.
	History(lot string, before HistoryPlace, limit int) ([]HistoryRow, error)
	HistoryOfWalk(lot, walk string, before HistoryPlace, limit int) ([]Line, error)
	// PotsIn are the pots of walks whose stamps are in a time (ms since 1970, its end not included), counted, and MadeIn all other notes of that
	// time, both in any order. LastMade is the last stamp before a time, found false where there is none.
	PotsIn(from, to int64) ([]PotsMade, error)
	MadeIn(from, to int64) iter.Seq2[Made, error]
	LastMade(before int64) (at int64, found bool, err error)
	// LateIn counts the notes after a position and up to another whose stamps are before a time. A note that names no person is of "".
	LateIn(after, upTo, before int64) iter.Seq2[Late, error]
	// At are the notes at some positions, in any order.
	At(positions []int64) ([]Line, error)
	Note(id string) (l Line, found bool, err error)
	// EntriesOf are the notes that have a part in a record: by the list of parts, or because the record is named for them.
	EntriesOf(key string) ([]Line, error)
	// Parts is EntriesOf for many records at once, in any order. One note may come twice, by the list and by its name.
	Parts(keys []string) ([]Part, error)
	// HasPart says whether a note is listed with a record.
	HasPart(key string, position int64) (bool, error)
	// CountParts counts the notes that are listed with a record, as far as most.
	CountParts(key string, most int) (int, error)
	// Taken is what came from a writer under some of its numbers, merged or in quarantine, in the order of the numbers; Known what came
	// under some ids, merged, undecided or left out, in any order; Held one note that has this id, or where that is "" these bytes.
	Taken(writer, first, last int64) ([]Arrived, error)
	Known(ids []string) ([]Arrived, error)
	Held(id string, raw []byte) (a Arrived, found bool, err error)
	// OfWriter are the merged notes of a writer.
	OfWriter(writer int64) ([]Line, error)
	// Unread are notes after a position that may be of one of some kinds, at most limit. Others may be among them.
	Unread(after int64, kinds []string, limit int) ([]Line, error)
	// LastIn is the position of the last note between two positions (both included) that arrived before a time, 0 where none did; FirstIn
	// when the first of those between them arrived, found false where there are none. Notes that were merged out of quarantine do not count.
	LastIn(from, to, before int64) (int64, error)
	FirstIn(from, to int64) (at int64, found bool, err error)
}

// Folded are the records.
type Folded interface {
	// Records come in the order of their keys, byte by byte, or where Which says so in that of their numbers.
	Records(Which) iter.Seq2[Stored, error]
	// Text is the text of a record, nil where it has none or is not there.
	Text(key string) ([]byte, error)
	// Number is the number of a record, or the next one where it is not there.
	Number(key string) (n int64, there bool, err error)
	// NumberedAfter are the next records after a number, in the order of the numbers, at most limit.
	NumberedAfter(n int64, limit int) ([]Numbered, error)
	// Changed are the records that changed after a head, in any order.
	Changed(after int64) iter.Seq2[Changed, error]
	// KeysOfKind are the keys of the records of a kind that changed after a head; KeysOfLot those of a kind that are filed under a lot.
	KeysOfKind(kind string, after int64) ([]string, error)
	KeysOfLot(lot int64, kind string) ([]string, error)
	// Unfolded are the keys of pots and facts that notes are listed with and that make no record.
	Unfolded() ([]string, error)
}

// Sums are kept of each lot. Lots have small numbers there; 0 is "no lot".
type Sums interface {
	NoteSum(lot int64) (LotSum, error)
	RecordSum(lot int64) (LotSum, error)
	LeavingSum(lot int64) (Leaving, error)
	// NoteSums and RecordSums are those of all lots, by their ids.
	NoteSums() (map[string]LotSum, error)
	RecordSums() (map[string]LotSum, error)
	// Lots are the numbers of some lots, in any order. One that has none is left out.
	Lots(ids []string) ([]int64, error)
	// Gone is what is left out of closed lots whose ids come after one, of the first of them in the order of the ids, at most limit.
	Gone(but LeftOut, after string, limit int) (map[string]Leaving, error)
	// Strayed are the positions up to one of notes that stay only since a later head.
	Strayed(position int64) ([]int64, error)
	// Touched is when the last note of a lot arrived, or of what says whether it is closed.
	Touched(lot int64, id string) (int64, error)
}

// Quarantine is what is kept and not merged.
type Quarantine interface {
	// Waiting is a note that nobody has decided on.
	Waiting(n int64) (w Waiting, found bool, err error)
	// WaitingEach lists them, the newest of each device, then the second newest of each, and so on; WaitingOf those of one device with a
	// number below before, or with 0 all, the newest first.
	WaitingEach(limit int) ([]Quarantined, error)
	WaitingOf(device string, before int64, limit int) ([]Quarantined, error)
	// WaitingFrom are the numbers of those of a device, after one and up to another, the oldest first.
	WaitingFrom(device string, after, upTo int64, limit int) ([]int64, error)
	// WaitingCounts counts them device by device, the newest first; CountWaiting counts all.
	WaitingCounts(limit int) ([]schema.QuarantineCount, error)
	CountWaiting() (int, error)
	// SizeOf counts what waits of a device and its bytes, with decided also what was decided otherwise than to merge it.
	SizeOf(device string, decided bool) (notes, bytes int64, err error)
	// HasOpaque says whether these bytes, which are no note, are there of a device.
	HasOpaque(device string, raw []byte) (bool, error)
	// Awaiting are those that wait for one of some records, in the order of their numbers.
	Awaiting(keys []string) ([]int64, error)
}

// Phones are what they reported, and trouble.
type Phones interface {
	Reports() (map[string]Report, error)
	// ReportOf has no Entries.
	ReportOf(device string) (r Report, found bool, err error)
	// Incidents are those that nobody has put away, those that are over last and then the newest first, at most limit; all is how many there are.
	Incidents(limit int) (some []schema.Incident, all int, err error)
}

// Scores are what was computed of beds.
type Scores interface {
	ScoresAt(measures string) (head int64, found bool, err error)
	Scores(visit func(bed string, json []byte) error) error
}

// Tx reads what it has put, too.
type Tx interface {
	Snap
	// Turn is another number when somebody else has written since.
	Turn() (int64, error)
	// Set gives a setting a value, Unset takes it out.
	Set(name, value string) error
	Unset(name string) error
	PutEpochs([]Epoch) error
	// Register is the small number of a lot or bed, which is given where it has none.
	Register(id string) (int64, error)
	// PutChain writes where a writer's chain stands and returns its number, which is given where c.N is 0.
	PutChain(device string, inc int, c Chain) (n int64, err error)

	PutNote(NewNote) error
	// Mark keeps the running hash over the journal at a position.
	Mark(position int64, hash [32]byte) error
	// PutPart lists a note with a record, where it is not listed yet.
	PutPart(key string, position int64) error
	// PutRecord keeps a record; its text is nil where the note that it is named for is all there is of it.
	PutRecord(r NewRecord) error
	DropRecord(key string) error
	PutNoteSum(lot int64, s LotSum) error
	PutRecordSum(lot int64, s LotSum) error
	PutLeaving(lot int64, l Leaving) error
	// Stay says that first pulls give the note at a position from a head on, where nothing is said of it yet.
	Stay(position, since int64) error
	// Reopen ends the time in which a lot was closed, and keeps what first pulls may have left out of it until a head. Close says since which
	// head a lot is closed and when something touched it last, where nothing is said of it yet.
	Reopen(lot, until int64) error
	Close(lot, since, lastAt int64) error

	// PutQuarantine keeps a note without merging it, under the number that it returns.
	PutQuarantine(NewQuarantined) (n int64, err error)
	// Decide ends the waiting of a note; false where it does not wait.
	Decide(n int64, d Decision) (bool, error)
	// Await says that a note waits for a record, Fault why it waits for somebody's word, and for no record.
	Await(n int64, key string) error
	Fault(n int64, faults []schema.Fault) error

	PutReport(Report) error
	// PutIncident counts an incident: again from 1 where somebody has put it away, and on where it was merely over. EndIncident says that it
	// is over, SeeIncident that somebody has put it away as it was at a time; false where it was put away or has come back since.
	PutIncident(device, code, detail string, at int64) error
	EndIncident(device, code string, at int64) error
	SeeIncident(device, code string, upTo, at int64, by string) (bool, error)

	PutScores(byBed map[string][]byte) error
	MarkScores(measures string, head int64) error
	ForgetScores() error

	// Empty takes out all rows of a table, but for those of some names; Restore puts rows as State gives them.
	Empty(table string, but ...string) error
	Restore(table string, rows []StateRow) error
}

// Line is a note as pages have it.
type Line struct {
	Position int64
	Stamp    schema.Stamp
	Bytes    []byte
}

// Row is a note as it is filed: its id, lot, writer and the time at which it arrived (ms since 1970). By is empty where the writer is not
// there, and the lot "?".
type Row struct {
	Line
	ID, Lot                 string
	LotN                    int64
	Writer, Seq, ReceivedAt int64
	By                      ChainPlace
}

// Made is a note with when it arrived, ms since 1970.
type Made struct {
	Line
	ReceivedAt int64
}

// PotsMade is how many pots somebody noted of a walk on a bed in some time, from At to Until (ms since 1970); Position is the least of their
// positions, ReceivedAt when the last of them arrived. Pots of one walk and person may come in several parts.
type PotsMade struct {
	Walk, Person, Bed               string
	Pots                            int
	Position, At, Until, ReceivedAt int64
}

// Late is how many notes of somebody were made within one quarter of an hour, which begins no two days in any zone; At is when the first was (ms since
// 1970). One of them may come in several parts.
type Late struct {
	Person string
	At     int64
	Notes  int
}

// Part is a note with the records that it is listed with; Keys is nil where it was found by its id.
type Part struct {
	Line
	Keys []string
}

// Arrived is a note as it arrived before: State is "merged", N is 0 and Faults empty where it lies in the journal, else they are those of the
// quarantine.
type Arrived struct {
	Line
	N      int64
	ID     string
	Seq    int64
	State  string
	Faults []schema.Fault
}

// Waiting is a note that waits for a decision.
type Waiting struct {
	Arrived
	Writer, ReceivedAt int64
	By                 ChainPlace
}

// LeftOut is what a first pull leaves out: the notes up to a position of lots that were closed by then and untouched since before a time,
// and of some other lots.
type LeftOut struct {
	UpTo, Before int64
	Others       []int64
}

// Which says which records are meant: those for which all that is set holds.
type Which struct {
	Key string
	// Kinds are as the keys begin ("pot", "walk").
	Kinds []string
	// Bed and Lot are ids; records of one come in the order of their numbers.
	Bed, Lot string
	// Numbers are those that the records have, in whose order they come. Nil is all.
	Numbers []int64
	// After is the key after which it begins.
	After string
	// Since and UpTo are heads: changed after one (0 is any), and not after the other (nil is any).
	Since int64
	UpTo  *int64
	// Several is for those that have a text.
	Several bool
	// Limit is at most so many, 0 all.
	Limit int
}

// Stored is a record as it is kept: its text, or where that is nil the note that it is named for, found where Line.Position is not 0.
type Stored struct {
	Line
	N, Changed int64
	Key        string
	Text       []byte
}

// Numbered is a record's number and key.
type Numbered struct {
	N   int64
	Key string
}

// LotSum is how many notes or records of a lot there are, and the sum of their hashes.
type LotSum struct {
	Count int64
	Sum   journal.Sum
}

// Chain is where a writer's chain stands: its number at the site, the last number and hash, and the last time given to it.
type Chain struct {
	N, High int64
	Hash    [32]byte
	LastAt  int64
}

// NewNote is a note on its way into the journal, with the numbers of its writer and its lot. Seq is its number in the writer's chain, which
// is not that of the entry where another phone handed it back.
type NewNote struct {
	Position, Writer, Seq, Lot, ReceivedAt int64
	Stamp                                  schema.Stamp
	Entry                                  schema.Entry
	Raw                                    []byte
}

// NewRecord is a record on its way to where it is kept, with the numbers of its lot and bed.
type NewRecord struct {
	Key               string
	Lot, Bed, Changed int64
	Text              []byte
}

// NewQuarantined is a note on its way into quarantine. Position is that of the note of which it is a repeat.
type NewQuarantined struct {
	ID                                string
	Writer, Seq, ReceivedAt, Position int64
	State                             string
	Stamp                             schema.Stamp
	Raw                               []byte
	Faults                            []schema.Fault
}

// Decision is what became of a note in quarantine: "merged" at a position, "left" or "repeat", by a person ("" for nobody) and when.
type Decision struct {
	State    string
	Position int64
	By       string
	At       int64
}
