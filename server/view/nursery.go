package view

import (
	"cmp"
	"encoding/json"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// nursery is what every bed is judged in the light of: the shown values of all registers, and the stock.
type nursery struct {
	head     int64
	site     string
	zone     string
	houses   []house
	beds     map[string]schema.Bed
	lots     map[string]lot
	spans    map[string][]span // by bed
	people   map[string]string
	judged   map[string]schema.Judged // by the crop's key
	bookings map[string][]booking     // by lot
	stock    map[string]*schema.Stock // by lot
	rounds   map[string]schema.Round
	// applications are the label intervals, by record key.
	applications map[string]schema.Application
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

func loadNursery(snap *journal.Snapshot) (*nursery, error) {
	n, err := loadRegisters(snap)
	if err != nil {
		return nil, err
	}
	n.applications = map[string]schema.Application{}
	return n, snap.OfKind("fact", n.saveApplication)
}

func loadRegisters(snap *journal.Snapshot) (*nursery, error) {
	n := &nursery{
		head: snap.Head, beds: map[string]schema.Bed{}, lots: map[string]lot{}, spans: map[string][]span{},
		people: map[string]string{}, judged: map[string]schema.Judged{}, bookings: map[string][]booking{},
		stock: map[string]*schema.Stock{}, rounds: map[string]schema.Round{},
	}
	for kind, take := range map[string]func(schema.Record) error{
		"site": n.takeSite, "house": n.takeHouse, "bed": n.takeBed, "lot": n.takeLot, "span": n.takeSpan,
		"person": n.takePerson, "profile": n.takeProfile, "booking": n.takeBooking, "round": n.takeRound, "stock": n.takeStock,
	} {
		if err := snap.OfKind(kind, take); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(n.houses, func(a, b house) int {
		return cmp.Or(cmp.Compare(valueOr(a.Order, 0), valueOr(b.Order, 0)), cmp.Compare(valueOr(a.Name, ""), valueOr(b.Name, "")), cmp.Compare(a.id, b.id))
	})
	for _, spans := range n.spans {
		slices.SortFunc(spans, func(a, b span) int {
			return cmp.Or(cmp.Compare(valueOr(a.FromRow, 0), valueOr(b.FromRow, 0)), cmp.Compare(a.id, b.id))
		})
	}
	return n, nil
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

func (n *nursery) takeSite(r schema.Record) error {
	s := shown[schema.Site](r)
	n.site, n.zone = valueOr(s.Name, n.site), valueOr(s.TimeZone, n.zone)
	return nil
}

func (n *nursery) takeHouse(r schema.Record) error {
	n.houses = append(n.houses, house{r.Register.Of, shown[schema.House](r)})
	return nil
}

func (n *nursery) takeBed(r schema.Record) error {
	n.beds[r.Register.Of] = shown[schema.Bed](r)
	return nil
}

func (n *nursery) takeLot(r schema.Record) error {
	n.lots[r.Register.Of] = lot{shown[schema.Lot](r), disagreements(r)}
	return nil
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

func (n *nursery) takeSpan(r schema.Record) error {
	s := span{r.Register.Of, shown[schema.Span](r)}
	if bed := valueOr(s.Bed, ""); bed != "" && valueOr(s.Lot, "") != "" {
		n.spans[bed] = append(n.spans[bed], s)
	}
	return nil
}

func (n *nursery) takePerson(r schema.Record) error {
	n.people[r.Register.Of] = valueOr(shown[schema.Person](r).Name, "")
	return nil
}

// takeProfile: of two profiles of one crop, begun apart, the one with the higher id counts, here as on phones: records come
// in the order of their keys.
func (n *nursery) takeProfile(r schema.Record) error {
	p := shown[schema.Profile](r)
	n.judged[bed.CropKey(valueOr(p.Crop, ""))] = bed.JudgedFrom(p, schema.DefaultJudged())
	return nil
}

func (n *nursery) takeRound(r schema.Record) error {
	n.rounds[r.Register.Of] = shown[schema.Round](r)
	return nil
}

func (n *nursery) takeStock(r schema.Record) error {
	n.stock[nameOf(r.Key)] = r.Stock
	return nil
}

func (n *nursery) saveApplication(r schema.Record) error {
	if r.Fact == nil || r.Fact.Kind != "application" {
		return nil
	}
	var a schema.Application
	if err := json.Unmarshal(r.Fact.Body, &a); err != nil || r.Fact.Voided != nil {
		delete(n.applications, r.Key)
		return nil
	}
	n.applications[r.Key] = a
	return nil
}

func (n *nursery) takeFact(snap *journal.Snapshot, key string) error {
	r, found, err := snap.Record(key)
	if err != nil || !found {
		return err
	}
	return n.saveApplication(r)
}

// addBedsOf adds the beds that a lot stands or stood on.
func (n *nursery) addBedsOf(lot string, to map[string]bool) {
	for bed, spans := range n.spans {
		for _, s := range spans {
			if valueOr(s.Lot, "") == lot {
				to[bed] = true
			}
		}
	}
}

// judgedOf is what a lot is judged by: its crop's profile, else the defaults.
func (n *nursery) judgedOf(lot string) schema.Judged {
	if j, ok := n.judged[bed.CropKey(valueOr(n.lots[lot].Crop, ""))]; ok {
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

// spanViews are the stretches of a bed that lots stand on now.
func (n *nursery) spanViews(bed string) []schema.SpanView {
	all := []schema.SpanView{}
	for _, s := range n.spans[bed] {
		if !valueOr(s.Ended, false) {
			all = append(all, n.spanView(s))
		}
	}
	return all
}

func (n *nursery) spanView(s span) schema.SpanView {
	id := valueOr(s.Lot, "")
	l := n.lots[id]
	return schema.SpanView{
		Span: s.id, Lot: id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), PotMM: valueOr(l.PotMM, 0),
		FromRow: valueOr(s.FromRow, 0), ToRow: valueOr(s.ToRow, 0), Pots: n.potsOnBed(id, s.id),
	}
}
