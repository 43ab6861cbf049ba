package view

import (
	"cmp"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
)

// nursery caches the shown value of every register, each lot's stock and the label intervals as of head. It is never
// changed: after makes the next one, which shares what has stayed the same.
type nursery struct {
	head       int64
	site, zone string
	houses     []house
	beds       map[string]schema.Bed
	lots       map[string]lot
	spans      map[string][]span // by bed
	people     map[string]string
	judged     map[string]schema.Judged // by the crop's key
	aims       map[string]int           // the uniformity that a crop aims for (basis points), of those that have their own
	bookings   map[string][]booking     // by lot, "" for those that name none
	stock      map[string]*schema.Stock // by lot
	rounds     map[string]schema.Round
	tasks      map[string]task
	matters    map[string]matter
	// applications are the label intervals, by record key.
	applications map[string]schema.Application
	// events are the steps noted about lots, by record key.
	events map[string]schema.Event
	// rootings are the counts of rooted cuttings, by record key.
	rootings map[string]schema.Rooting
	// temps are temperatures read by hand, traces what loggers wrote down, by record key.
	temps  map[string]tempRead
	traces map[string]schema.Trace
	// spots are what traces and temps make of a house, once somebody has asked.
	spots *spotsByHouse
	// stages are those that a profile sets, by the crop's key; cultivars differ from their crops.
	stages    map[string]map[string]schema.Stage
	cultivars map[cultivarKey]schema.Cultivar
	// work are the days on which people work, workKey tells one set of them from another, and shipWeekday is the day of a ship week
	// by which its pots must be ready (1 Monday).
	work        calendar.Workdays
	workKey     string
	shipWeekday int
	// pace is how much one spring moves all lots together (see schedule.Pace), paceIsOwn that somebody wrote it.
	pace      float64
	paceIsOwn bool
	// money is what the site says of prices and costs, costs what a pot takes in each stage, by the crop's key.
	money money
	costs map[string][]schema.StageCost
	// yields are how many come through each stage, by the crop's key.
	yields map[string][]schema.StageYield
	// sizes are where stages differ by pot size, by the crop's key.
	sizes map[string][]schema.SizedStage
	// targets are the bands of head sizes that growers wrote, by the crop's key.
	targets map[string][]schema.HeadTarget
	// ownSeason are the crops, by key, for which somebody wrote how much seasons differ.
	ownSeason map[string]bool

	// spanOn is the bed of each span, bookedLot the lot of each booking.
	spanOn, bookedLot map[string]string
	// standsOn are the beds that each lot stands on, stoodOn those that it stands or stood on.
	standsOn, stoodOn map[string][]string
	// houseNames are the names of the houses, "" for one without.
	houseNames map[string]string
	// zoned is location, which costs a look at the machine's files.
	zoned   *time.Location
	touched touched
}

type house struct {
	id string
	schema.House
}

type lot struct {
	schema.Lot
	disagree int
}

type span struct {
	id string
	schema.Span
}

// readAll are the kinds of which there are few records: they are read again together.
var readAll = map[string]func(*nursery, schema.Record){
	"site": (*nursery).takeSite, "house": (*nursery).takeHouse, "person": (*nursery).takePerson, "profile": (*nursery).takeProfile,
	"round": (*nursery).takeRound, "cultivar": (*nursery).takeCultivar,
}

// readEach are the kinds that grow with the nursery: each record is read again by itself.
var readEach = map[string]func(*nursery, schema.Record){
	"bed": (*nursery).takeBed, "lot": (*nursery).takeLot, "span": (*nursery).takeSpan, "booking": (*nursery).takeBooking, "stock": (*nursery).takeStock,
	"task": (*nursery).takeTask, "matter": (*nursery).takeMatter,
}

func emptyNursery(head int64) *nursery {
	return &nursery{
		head: head, beds: map[string]schema.Bed{}, lots: map[string]lot{}, spans: map[string][]span{}, spanOn: map[string]string{},
		bookings: map[string][]booking{}, bookedLot: map[string]string{}, stock: map[string]*schema.Stock{}, tasks: map[string]task{}, matters: map[string]matter{},
		applications: map[string]schema.Application{}, events: map[string]schema.Event{}, rootings: map[string]schema.Rooting{},
		temps: map[string]tempRead{}, traces: map[string]schema.Trace{}, spots: new(spotsByHouse), touched: untouched(),
	}
}

// loadNursery reads the nursery, and the states of beds that are stored and still hold or can be brought up to date.
func loadNursery(snap *journal.Snapshot) (*nursery, map[string]*keptBed, error) {
	n := emptyNursery(snap.Head)
	for kind := range readAll {
		if err := n.readAgain(snap, kind); err != nil {
			return nil, nil, err
		}
	}
	for kind, take := range readEach {
		if err := snap.OfKind(kind, func(r schema.Record) error { take(n, r); return nil }); err != nil {
			return nil, nil, err
		}
	}
	for kind, take := range map[string]func(schema.Record){"fact": n.takeFact, "trace": n.takeTrace} {
		if err := snap.OfKind(kind, func(r schema.Record) error { take(r); return nil }); err != nil {
			return nil, nil, err
		}
	}
	n.place()
	beds, head, err := loadScores(snap, n.measures())
	if err != nil || len(beds) == 0 {
		return n, beds, err
	}
	_, err = n.mark(snap, head)
	return n, beds, err
}

// after is the nursery at a later head.
func (n *nursery) after(snap *journal.Snapshot) (*nursery, error) {
	next := *n
	next.head, next.touched, next.spots = snap.Head, n.touched.clone(), new(spotsByHouse)
	changed, err := next.mark(snap, n.head)
	if err != nil {
		return nil, err
	}
	for kind, keys := range changed {
		take, each := readEach[kind]
		switch {
		case readAll[kind] != nil:
			err = next.readAgain(snap, kind)
		case each:
			next.own(kind)
			err = eachRecord(snap, keys, func(r schema.Record) { take(&next, r) })
		case kind == "fact":
			next.applications, next.events = maps.Clone(n.applications), maps.Clone(n.events)
			next.rootings = maps.Clone(n.rootings)
			next.temps = maps.Clone(n.temps)
			err = eachRecord(snap, keys, next.takeFact)
		case kind == "trace":
			next.traces = maps.Clone(n.traces)
			err = eachRecord(snap, keys, next.takeTrace)
		}
		if err != nil {
			return nil, err
		}
	}
	next.place()
	return &next, nil
}

func eachRecord(snap *journal.Snapshot, keys []string, take func(schema.Record)) error {
	for _, key := range keys {
		r, found, err := snap.Record(key)
		if err != nil {
			return err
		}
		if found {
			take(r)
		}
	}
	return nil
}

// own makes the maps of a kind this nursery's own, before they are changed.
func (n *nursery) own(kind string) {
	switch kind {
	case "bed":
		n.beds = maps.Clone(n.beds)
	case "lot":
		n.lots = maps.Clone(n.lots)
	case "span":
		n.spans, n.spanOn = maps.Clone(n.spans), maps.Clone(n.spanOn)
	case "booking":
		n.bookings, n.bookedLot = maps.Clone(n.bookings), maps.Clone(n.bookedLot)
	case "stock":
		n.stock = maps.Clone(n.stock)
	case "task":
		n.tasks = maps.Clone(n.tasks)
	case "matter":
		n.matters = maps.Clone(n.matters)
	}
}

// place puts houses into their order, with their names by id, and finds where each lot stands, and in which time zone.
func (n *nursery) place() {
	n.zoned = time.Local
	if zone, err := time.LoadLocation(n.zone); err == nil && n.zone != "" {
		n.zoned = zone
	}
	n.houses = slices.Clone(n.houses)
	slices.SortFunc(n.houses, func(a, b house) int {
		return cmp.Or(cmp.Compare(valueOr(a.Order, 0), valueOr(b.Order, 0)), cmp.Compare(valueOr(a.Name, ""), valueOr(b.Name, "")), cmp.Compare(a.id, b.id))
	})
	n.houseNames = map[string]string{}
	for _, h := range n.houses {
		n.houseNames[h.id] = valueOr(h.Name, "")
	}
	n.standsOn, n.stoodOn = map[string][]string{}, map[string][]string{}
	for _, id := range slices.Sorted(maps.Keys(n.spans)) {
		for _, s := range n.spans[id] {
			lot := valueOr(s.Lot, "")
			n.stoodOn[lot] = appendNew(n.stoodOn[lot], id)
			if !valueOr(s.Ended, false) {
				n.standsOn[lot] = appendNew(n.standsOn[lot], id)
			}
		}
	}
}

// appendNew appends to a list in order what is not its last element already.
func appendNew(all []string, one string) []string {
	if len(all) > 0 && all[len(all)-1] == one {
		return all
	}
	return append(all, one)
}

func nameOf(key string) string {
	_, name, _ := strings.Cut(key, ":")
	return name
}

func kindOf(key string) string {
	kind, _, _ := strings.Cut(key, ":")
	return kind
}

// shown reads the shown values of a register into its struct. A single value of a wrong type, which only a newer
// version could have written, is left out.
func shown[T any](r schema.Record) (into T) {
	for name, field := range r.Register.Fields {
		one, err := json.Marshal(map[string]json.RawMessage{name: field.Value})
		if err == nil {
			_ = json.Unmarshal(one, &into)
		}
	}
	return into
}

func valueOr[T any](p *T, otherwise T) T {
	if p == nil {
		return otherwise
	}
	return *p
}

// isStruckOut is true of a register every note of which was struck out: it is as if it had never been written.
func isStruckOut(r schema.Record) bool { return len(r.Register.Fields) == 0 }

func (n *nursery) takeHouse(r schema.Record) {
	if isStruckOut(r) {
		return
	}
	n.houses = append(n.houses, house{r.Register.Of, shown[schema.House](r)})
}

func (n *nursery) takeBed(r schema.Record) {
	if isStruckOut(r) {
		delete(n.beds, r.Register.Of)
		return
	}
	n.beds[r.Register.Of] = shown[schema.Bed](r)
}

func (n *nursery) takeLot(r schema.Record) {
	if isStruckOut(r) {
		delete(n.lots, r.Register.Of)
		return
	}
	n.lots[r.Register.Of] = lot{shown[schema.Lot](r), disagreements(r)}
}

// disagreements counts the fields of a register in which people wrote different values while apart.
func disagreements(r schema.Record) (count int) {
	for _, field := range r.Register.Fields {
		if len(field.Others) > 0 {
			count++
		}
	}
	return count
}

func (n *nursery) takeSpan(r schema.Record) {
	s := span{r.Register.Of, shown[schema.Span](r)}
	if before, ok := n.spanOn[s.id]; ok {
		n.spans[before] = slices.DeleteFunc(slices.Clone(n.spans[before]), func(one span) bool { return one.id == s.id })
		delete(n.spanOn, s.id)
	}
	on := valueOr(s.Bed, "")
	if on == "" || valueOr(s.Lot, "") == "" {
		return
	}
	spans := append(slices.Clone(n.spans[on]), s)
	slices.SortFunc(spans, func(a, b span) int {
		return cmp.Or(cmp.Compare(valueOr(a.FromRow, 0), valueOr(b.FromRow, 0)), cmp.Compare(a.id, b.id))
	})
	n.spans[on], n.spanOn[s.id] = spans, on
}

func (n *nursery) takePerson(r schema.Record) {
	n.people[r.Register.Of] = valueOr(shown[schema.Person](r).Name, "")
}

func peopleOf(snap *journal.Snapshot) (map[string]string, error) {
	n := &nursery{people: map[string]string{}}
	return n.people, n.readAgain(snap, "person")
}

func (n *nursery) takeRound(r schema.Record) { n.rounds[r.Register.Of] = shown[schema.Round](r) }

func (n *nursery) takeStock(r schema.Record) { n.stock[nameOf(r.Key)] = r.Stock }

// takeFact keeps label intervals, the steps of lots, counts of rooted cuttings and what the air's temperature was, and drops what was struck out.
func (n *nursery) takeFact(r schema.Record) {
	if r.Fact == nil {
		return
	}
	switch r.Fact.Kind {
	case "application":
		keepFact(n.applications, r)
	case "event":
		keepFact(n.events, r)
	case "rooting":
		keepFact(n.rootings, r)
	case "reading":
		n.takeTemp(r)
	}
}

func keepFact[T any](in map[string]T, r schema.Record) {
	var body T
	if err := json.Unmarshal(r.Fact.Body, &body); err != nil || r.Fact.Voided != nil {
		delete(in, r.Key)
		return
	}
	in[r.Key] = body
}

// judgedOf is what a lot is judged by: its crop's profile, else the defaults.
func (n *nursery) judgedOf(lot string) schema.Judged {
	return n.judgedFor(bed.CropKey(valueOr(n.lots[lot].Crop, "")))
}

// judgedFor is how a crop is judged, by its key.
func (n *nursery) judgedFor(cropKey string) schema.Judged {
	if j, ok := n.judged[cropKey]; ok {
		return j
	}
	return schema.DefaultJudged()
}

// potsOnBed is how many pots the ledger has on a stretch, never less than none.
func (n *nursery) potsOnBed(lot, span string) int {
	pots, _ := n.counted(lot, span)
	return max(0, pots)
}

// counted is what the ledger has on a stretch; not known where nobody has counted it.
func (n *nursery) counted(lot, span string) (pots int, known bool) {
	if s := n.stock[lot]; s != nil {
		pots, known = s.BySpan[span]
	}
	return pots, known
}

// location is the nursery's time zone; where nobody has set it, this machine's, which stands in the same office as a rule.
// Phones count days in the nursery's too, and on their own calendar where none is set.
func (n *nursery) location() *time.Location { return n.zoned }
