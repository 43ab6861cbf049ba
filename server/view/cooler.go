package view

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"sort"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/climate"
	"bedwalk/sync/crop"
)

// The band in which cold counts where the grower has set none: six weeks at 3.5 to 7.2 degrees C is the trade's standard (American Society
// for Horticultural Science: seasonal variation in dormancy breaking of azalea).
const bandLowDC, bandHighDC = 35, 72

// Cooler is what the coolers have in them, for how long, and how cold it was.
func (v *Views) Cooler(ctx context.Context) (view schema.CoolerView, err error) {
	all, err := v.gathered(ctx)
	if err != nil {
		return view, err
	}
	n := all.n
	view = schema.CoolerView{
		Today: v.dayIn(n).String(), Coolers: []schema.Cooler{}, Astray: []schema.CooledLot{}, Files: n.loggerFiles(), MadeAt: v.journal.NowMS(),
	}
	in := map[string][]schema.CooledLot{}
	coolers := n.coolers()
	for _, id := range slices.SortedFunc(maps.Keys(n.lots), n.byTag()) {
		if err := ctx.Err(); err != nil {
			return view, err
		}
		if valueOr(n.lots[id].ShippedOn, "") != "" {
			continue
		}
		cooled, was := crop.CooledOf(all.notes.familyOf(id))
		if !was {
			continue
		}
		house := cooled.House
		if len(coolers) == 1 && house == "" {
			// There is only one that it can be.
			house = coolers[0].id
		}
		in[house] = append(in[house], v.cooledLot(all, id, cooled))
	}
	for _, c := range coolers {
		view.Coolers = append(view.Coolers, v.cooler(n, c, in[c.id]))
		delete(in, c.id)
	}
	for _, house := range slices.Sorted(maps.Keys(in)) {
		view.Astray = append(view.Astray, in[house]...)
	}
	return view, nil
}

// coldOf is a lot's time in a cooler, and that cooler with the hours of this lot alone; nothing where it was in none.
func (v *Views) coldOf(all gathered, id string) (*schema.CooledLot, *schema.Cooler) {
	cooled, was := crop.CooledOf(all.notes.familyOf(id))
	if !was {
		return nil, nil
	}
	lot := v.cooledLot(all, id, cooled)
	coolers := all.n.coolers()
	for _, c := range coolers {
		if c.id == cooled.House || cooled.House == "" && len(coolers) == 1 {
			one := v.cooler(all.n, c, []schema.CooledLot{lot})
			for i := range one.Spots {
				one.Spots[i].Hours, one.Spots[i].Gaps = []*schema.HourRange{}, []schema.TimeSpan{}
			}
			return &one.Lots[0], &one
		}
	}
	return &lot, nil
}

func (h house) isCooler() bool { return valueOr(h.Use, "") == "cooler" }

// coolers are the houses that are used as one, in their order.
func (n *nursery) coolers() (all []house) {
	for _, h := range n.houses {
		if h.isCooler() {
			all = append(all, h)
		}
	}
	return all
}

// midnight is the first moment of a day in the nursery's own time. Where clocks skip midnight or show it twice, time.Date gives either of two moments, so
// the first one that has the date is searched for. A day that was skipped as a whole begins with the next one.
func (n *nursery) midnight(d calendar.Day) int64 {
	year, month, day := time.Unix(int64(d)*24*60*60, 0).UTC().Date()
	at := time.Date(year, month, day, 0, 0, 0, 0, n.location()).UnixMilli()
	if n.dayAt(at) == d && n.dayAt(at-1) == d-1 {
		return at
	}
	const around = 26 * 60 * 60 * 1000
	return at - around + int64(sort.Search(2*around, func(ms int) bool { return n.dayAt(at-around+int64(ms)) >= d }))
}

func (v *Views) cooledLot(all gathered, id string, cooled crop.Cooled) schema.CooledLot {
	n, l := all.n, all.n.lots[id]
	today := v.dayIn(n)
	one := schema.CooledLot{
		Lot: id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), Pots: n.potsOf(id),
		In: cooled.In.String(), Out: dateOrNone(cooled.Out), Ready: dateOrNone(cooled.Ready), ShipWeek: valueOr(l.ShipWeek, ""),
		MostOn: (cooled.In + schema.MostColdDays).String(), Spots: []schema.ColdHours{},
	}
	one.Days, one.Counted, one.Flagged = cooled.Days(today)
	from := cooled.In
	if cooled.Ready != nil {
		from = max(from, *cooled.Ready)
	}
	one.FromMS, one.ToMS = n.midnight(from), v.journal.NowMS()
	if cooled.Out != nil {
		one.ToMS = n.midnight(*cooled.Out)
	}
	one.ToMS = max(one.ToMS, one.FromMS)
	for _, step := range v.planOf(all.notes, id, all.seen[id]).Steps {
		if step.Stage == schema.StageCold {
			one.Stage, one.Standing, one.Source = step.Days, step.Standing, step.Source
			if cooled.Out == nil {
				one.Latest50, one.Latest90 = step.Latest50, step.Latest90
			}
		}
	}
	return one
}

// longestDrawn bounds how far back the temperature of a cooler is drawn.
const longestDrawn = 183 * 24 * time.Hour

func (v *Views) cooler(n *nursery, h house, lots []schema.CooledLot) schema.Cooler {
	c := schema.Cooler{
		House: h.id, Name: valueOr(h.Name, ""), BandLowDC: bandLowDC, BandHighDC: bandHighDC, Lots: []schema.CooledLot{}, Spots: []schema.CoolerSpot{},
	}
	// One limit alone, or limits out of order, are no band.
	if low, high := h.BandLowDC, h.BandHighDC; low != nil && high != nil && *low <= *high {
		c.BandLowDC, c.BandHighDC, c.OwnBand = *low, *high, true
	}
	now := v.journal.NowMS()
	drawn := climate.Time{From: now, To: now}
	for _, l := range lots {
		drawn.From = min(drawn.From, n.midnight(*dayOf(&l.In)))
	}
	drawn.From = max(drawn.From, now-longestDrawn.Milliseconds())
	spots := n.spotsOf(h.id)
	type window struct {
		spot int
		over climate.Time
	}
	done := map[window]schema.ColdHours{}
	for _, l := range lots {
		for i, s := range spots {
			w := window{i, climate.Time{From: l.FromMS, To: l.ToMS}}
			if _, ok := done[w]; !ok {
				done[w] = coldHours(s.series.Over(w.over), c.BandLowDC, c.BandHighDC)
			}
			l.Spots = append(l.Spots, done[w])
		}
		c.Lots = append(c.Lots, l)
	}
	for _, s := range spots {
		c.Spots = append(c.Spots, s.view(drawn))
	}
	return c
}

// tempRead is a temperature that somebody read.
type tempRead struct {
	house, bed string
	at         int64
	dc         int
}

func (n *nursery) takeTrace(r schema.Record) {
	if r.Fact != nil {
		keepFact(n.traces, r)
	}
}

func (n *nursery) takeTemp(r schema.Record) {
	var body schema.Reading
	if err := json.Unmarshal(r.Fact.Body, &body); err != nil || r.Fact.Voided != nil || body.TempDC == nil {
		delete(n.temps, r.Key)
		return
	}
	n.temps[r.Key] = tempRead{body.House, body.Bed, r.Fact.By.Stamp.At, *body.TempDC}
}

// spot is one place of a house where its temperature was read.
type spot struct {
	name   string
	byHand bool
	series climate.Series
}

type spotsByHouse struct {
	sync.Mutex
	of map[string][]spot
}

// spotsOf are a house's loggers by their places, and after them what was read by hand: of the house, or on a bed in it.
func (n *nursery) spotsOf(house string) []spot {
	n.spots.Lock()
	defer n.spots.Unlock()
	if n.spots.of == nil {
		n.spots.of = map[string][]spot{}
	}
	all, ok := n.spots.of[house]
	if !ok {
		all = n.makeSpots(house)
		n.spots.of[house] = all
	}
	return all
}

func (n *nursery) makeSpots(house string) (all []spot) {
	logged := map[string][]climate.Sample{}
	for _, t := range n.traces {
		if t.House != house {
			continue
		}
		for _, part := range t.Parts {
			for i, dc := range part.DC {
				step := int64(part.EveryS) * 1000
				logged[t.Spot] = append(logged[t.Spot], climate.Logged(part.At+int64(i)*step, dc, step))
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(logged)) {
		all = append(all, spot{name, false, climate.SeriesOf(logged[name])})
	}
	var byHand []climate.Sample
	for _, t := range n.temps {
		if cmp.Or(t.house, valueOr(n.beds[t.bed].House, "")) == house {
			byHand = append(byHand, climate.ByHand(t.at, t.dc))
		}
	}
	if len(byHand) > 0 {
		all = append(all, spot{"", true, climate.SeriesOf(byHand)})
	}
	return all
}

const hourMS = 3_600_000

func (s spot) view(over climate.Time) schema.CoolerSpot {
	r := s.series.Over(over)
	v := schema.CoolerSpot{Spot: s.name, ByHand: s.byHand, Clashes: r.Clashes, FromMS: over.From, ToMS: over.To, Gaps: []schema.TimeSpan{}}
	v.Hours = make([]*schema.HourRange, (over.To-over.From+hourMS-1)/hourMS)
	for _, p := range r.Pieces {
		for h := (p.From - over.From) / hourMS; over.From+h*hourMS < p.To; h++ {
			if v.Hours[h] == nil {
				v.Hours[h] = &schema.HourRange{LowDC: p.DC, HighDC: p.DC}
			}
			v.Hours[h].LowDC, v.Hours[h].HighDC = min(v.Hours[h].LowDC, p.DC), max(v.Hours[h].HighDC, p.DC)
		}
	}
	for _, g := range r.Gaps {
		v.Gaps = append(v.Gaps, schema.TimeSpan{FromMS: g.From, ToMS: g.To})
	}
	return v
}

func coldHours(r climate.Record, lowDC, highDC int) schema.ColdHours {
	c, chill := r.Within(lowDC, highDC), r.Chilled()
	hours := func(ms int64) float64 { return float64(ms) / hourMS }
	v := schema.ColdHours{
		InBand: hours(c.InBandMS), Covered: hours(c.CoveredMS), Gap: hours(c.GapMS), Below: hours(c.BelowMS), Above: hours(c.AboveMS),
		Readings: r.Read, LowDC: c.LowestDC, HighDC: c.HighestDC, LongestGap: hours(c.LongestGap.To - c.LongestGap.From), GapFromMS: c.LongestGap.From,
		Chill: schema.Chill(chill),
	}
	if c.CoveredMS > 0 {
		v.Mean = new(c.MeanDC / 10)
	}
	return v
}

// loggerFiles are the files that were read in, each once: a long one is written as several entries.
func (n *nursery) loggerFiles() []schema.LoggerFile {
	type file struct{ house, spot, source string }
	all := map[file]schema.LoggerFile{}
	for _, record := range slices.Sorted(maps.Keys(n.traces)) {
		t := n.traces[record]
		key := file{t.House, t.Spot, t.Source}
		f, ok := all[key]
		if !ok {
			f = schema.LoggerFile{House: t.House, Spot: t.Spot, Source: t.Source}
		}
		for _, part := range t.Parts {
			last := part.LastAt()
			if f.Values == 0 {
				f.FromMS, f.ToMS = part.At, last
			}
			f.FromMS, f.ToMS, f.Values = min(f.FromMS, part.At), max(f.ToMS, last), f.Values+len(part.DC)
		}
		f.Entries = append(f.Entries, nameOf(record))
		all[key] = f
	}
	files := slices.AppendSeq([]schema.LoggerFile{}, maps.Values(all))
	slices.SortFunc(files, func(a, b schema.LoggerFile) int {
		return cmp.Or(cmp.Compare(b.ToMS, a.ToMS), cmp.Compare(a.House, b.House), cmp.Compare(a.Spot, b.Spot), cmp.Compare(a.Source, b.Source))
	})
	return files
}
