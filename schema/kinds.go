package schema

import "reflect"

// Kind is one kind of entry: the struct of its body, and what its envelope must say.
type Kind struct {
	Name string
	// Body is the struct that a body of this kind is read into.
	Body reflect.Type
	Lot  Need
	Bed  Need
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

// kinds is the one list of what may be written down. A new kind is a struct and a line here.
var kinds = []Kind{
	{"site", reflect.TypeFor[Site](), free, free},
	{"house", reflect.TypeFor[House](), free, free},
	{"bed", reflect.TypeFor[Bed](), free, itself},
	{"lot", reflect.TypeFor[Lot](), itself, free},
	{"span", reflect.TypeFor[Span](), theLot, theBed},
	{"person", reflect.TypeFor[Person](), free, free},
	{"profile", reflect.TypeFor[Profile](), free, free},
	{"booking", reflect.TypeFor[Booking](), lotIfAny, free},
	{"round", reflect.TypeFor[Round](), free, bedIfAny},
	{"walk", reflect.TypeFor[Walk](), free, theBed},
	{"walk_end", reflect.TypeFor[WalkEnd](), free, theBed},
	{"observation", reflect.TypeFor[Observation](), theLot, theBed},
	{"correction", reflect.TypeFor[Correction](), Need{true, "now.lot"}, Need{true, "now.bed"}},
	// A void and its undoing repeat the lot and bed of the entry that they name, which their body does not tell.
	{"void", reflect.TypeFor[Void](), free, free},
	{"unvoid", reflect.TypeFor[Unvoid](), free, free},
	{"count", reflect.TypeFor[Count](), theLot, free},
	{"recount", reflect.TypeFor[Recount](), theLot, free},
	// A move belongs to any one of its legs' lots; which, the writer says.
	{"move", reflect.TypeFor[Move](), Need{Must: true}, free},
	{"skip", reflect.TypeFor[Skip](), free, theBed},
	{"event", reflect.TypeFor[Event](), theLot, free},
	{"application", reflect.TypeFor[Application](), lotIfAny, free},
	{"reading", reflect.TypeFor[Reading](), lotIfAny, bedIfAny},
	{"rooting", reflect.TypeFor[Rooting](), theLot, free},
	{"note", reflect.TypeFor[Note](), lotIfAny, bedIfAny},
	{"photo", reflect.TypeFor[Photo](), lotIfAny, bedIfAny},
}

var kindByName = func() map[string]Kind {
	byName := make(map[string]Kind, len(kinds))
	for _, k := range kinds {
		byName[k.Name] = k
	}
	return byName
}()

// Kinds lists every kind of entry that this build knows, in a fixed order.
func Kinds() []Kind { return append([]Kind(nil), kinds...) }

// KindOf finds a kind by name. An unknown one is no error: entries of later versions are stored and passed on unread.
func KindOf(name string) (Kind, bool) {
	k, ok := kindByName[name]
	return k, ok
}

// Registers is true for the kinds whose bodies write fields of a thing (they open with Writes).
func (k Kind) Registers() bool {
	_, ok := k.Body.FieldByName("Writes")
	return ok
}
