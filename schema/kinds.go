package schema

import "reflect"

// Kind is one kind of entry: the struct of its body, and what its envelope must say.
type Kind struct {
	Name string
	// Body is the struct that a body of this kind is read into.
	Body reflect.Type
	Lot  Need
	Bed  Need
	// Supervisor is set for kinds that scouts do not write: see CheckRole.
	Supervisor bool
}

// Need says how an entry's envelope names a lot or a bed. Must: it has to be there. From is the dotted path of the
// body field that it repeats, where the body has that field; "" when it repeats none.
type Need struct {
	Must bool
	From string
}

var (
	free     = Need{}
	theLot   = Need{Must: true, From: "lot"}
	theBed   = Need{Must: true, From: "bed"}
	itself   = Need{Must: true, From: "of"}
	lotIfAny = Need{From: "lot"}
	bedIfAny = Need{From: "bed"}
)

// Who writes the entries of a kind, for Kind.Supervisor.
const (
	anybody    = false
	supervisor = true
)

// kinds is the one list of what may be written down. A new kind is a struct and a line here.
var kinds = []Kind{
	{"site", reflect.TypeFor[Site](), free, free, supervisor},
	{"house", reflect.TypeFor[House](), free, free, supervisor},
	{"bed", reflect.TypeFor[Bed](), free, itself, supervisor},
	{"lot", reflect.TypeFor[Lot](), itself, free, anybody},
	{"span", reflect.TypeFor[Span](), theLot, theBed, anybody},
	{"person", reflect.TypeFor[Person](), free, free, supervisor},
	{"profile", reflect.TypeFor[Profile](), free, free, supervisor},
	{"booking", reflect.TypeFor[Booking](), lotIfAny, free, supervisor},
	{"round", reflect.TypeFor[Round](), free, bedIfAny, anybody},
	{"walk", reflect.TypeFor[Walk](), free, theBed, anybody},
	{"walk_end", reflect.TypeFor[WalkEnd](), free, theBed, anybody},
	{"observation", reflect.TypeFor[Observation](), theLot, theBed, anybody},
	{"correction", reflect.TypeFor[Correction](), Need{true, "now.lot"}, Need{true, "now.bed"}, anybody},
	// A void and its undoing repeat the lot and bed of the entry that they name, which their body does not contain.
	{"void", reflect.TypeFor[Void](), free, free, anybody},
	{"unvoid", reflect.TypeFor[Unvoid](), free, free, anybody},
	{"count", reflect.TypeFor[Count](), theLot, free, anybody},
	{"recount", reflect.TypeFor[Recount](), theLot, free, anybody},
	// A move belongs to any one of its legs' lots; which, the writer says.
	{"move", reflect.TypeFor[Move](), Need{Must: true}, free, anybody},
	{"skip", reflect.TypeFor[Skip](), free, theBed, anybody},
	{"event", reflect.TypeFor[Event](), theLot, free, anybody},
	{"application", reflect.TypeFor[Application](), lotIfAny, free, anybody},
	{"reading", reflect.TypeFor[Reading](), lotIfAny, bedIfAny, anybody},
	{"rooting", reflect.TypeFor[Rooting](), theLot, free, anybody},
	{"note", reflect.TypeFor[Note](), lotIfAny, bedIfAny, anybody},
	{"photo", reflect.TypeFor[Photo](), lotIfAny, bedIfAny, anybody},
	{"task", reflect.TypeFor[Task](), lotIfAny, free, anybody},
	{"trace", reflect.TypeFor[Trace](), free, free, supervisor},
	{"matter", reflect.TypeFor[Matter](), lotIfAny, bedIfAny, supervisor},
	{"cultivar", reflect.TypeFor[Cultivar](), free, free, supervisor},
}

var kindByName = func() map[string]Kind {
	byName := make(map[string]Kind, len(kinds))
	for _, k := range kinds {
		byName[k.Name] = k
	}
	return byName
}()

// laterKinds are the kinds that came after the first release, in their order; a new one goes to the end. A build folds the first of them,
// FoldVersion in number, and keeps the others unread.
var laterKinds = [...]string{"trace", "task", "cultivar", "matter"}

// FoldVersion numbers the set of kinds that this build makes records of: only two devices of one number make the same records of the
// same entries.
const FoldVersion = len(laterKinds)

// KindsSince lists the kinds of which a build of some FoldVersion makes no records.
func KindsSince(version int) []string { return laterKinds[min(max(version, 0), FoldVersion):] }

// Kinds lists every kind of entry that this build knows, in a fixed order.
func Kinds() []Kind { return append([]Kind(nil), kinds...) }

// KindOf finds a kind by name. An unknown one is no error: entries of later versions are stored and passed on unread.
func KindOf(name string) (Kind, bool) {
	k, ok := kindByName[name]
	return k, ok
}
