package view

import (
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/stats"
)

// part is a walk's opening and end, as far as they have come.
type part struct {
	Opened bool `json:"opened,omitempty"`
	Voided bool `json:"voided,omitempty"`
	Ended  bool `json:"ended,omitempty"`
	// Stopped is an end before the walk had seen what it asked for.
	Stopped bool   `json:"stopped,omitempty"`
	Round   string `json:"round,omitempty"`
	// Planned pots, 0 when the opening has not come.
	Planned int `json:"planned,omitempty"`
	// At and Person are of the opening; Known is false without one.
	Known  bool   `json:"known,omitempty"`
	At     int64  `json:"at,omitempty"`
	Person string `json:"person,omitempty"`
}

func partOf(w schema.WalkPart) part {
	p := part{Opened: w.Open != nil, Voided: w.Voided != nil, Ended: w.End != nil}
	p.Stopped = p.Ended && w.End.Why == "stopped"
	if w.Open != nil {
		p.Round, p.Planned = w.Open.Round, w.Open.Planned
	}
	if w.By != nil {
		p.Known, p.At, p.Person = true, w.By.Stamp.At, w.By.Person
	}
	return p
}

// walkPart is what bed.Whole and bed.Unfinished go by.
func (p part) walkPart() (w schema.WalkPart) {
	if p.Opened {
		w.Open = &schema.Walk{Planned: p.Planned}
	}
	if p.Ended {
		w.End = &schema.WalkEnd{}
	}
	if p.Stopped {
		w.End.Why = "stopped"
	}
	return w
}

// walk is one walk of a bed without its pots, which are read again where a page asks for them.
type walk struct {
	ID     string `json:"id"`
	At     int64  `json:"at"`
	Person string `json:"person"`
	// Whole is bed.Whole; one that was ended need not be. Hidden walks are blind re-scores and struck-out ones.
	Whole   bool `json:"whole,omitempty"`
	Ended   bool `json:"ended,omitempty"`
	Hidden  bool `json:"hidden,omitempty"`
	Planned int  `json:"planned,omitempty"`
	// Pots are the numbers of all its pots' records, struck-out ones too, in order. Lots are those of the pots that count.
	Pots []int64  `json:"pots"`
	Lots []string `json:"lots"`
	// Heads are the head sizes by lot.
	Heads map[string]heads `json:"heads,omitempty"`
	// Newest says how the walk was judged (see bed.Input), Context by what, as a hash of its input without the pots.
	Newest  bool   `json:"newest,omitempty"`
	Context []byte `json:"context,omitempty"`
	Score   brief  `json:"score"`
	// Unfinished is bed.Unfinished by Score.
	Unfinished *schema.Unfinished `json:"unfinished,omitempty"`
	// Findings are set where Scored is true: they cost far more than the measures.
	Scored   bool             `json:"scored,omitempty"`
	Findings []schema.Finding `json:"findings,omitempty"`
}

// heads are the head sizes of a lot in short: the mean of their logarithms, and their own mean and standard deviation, mm.
type heads struct {
	bed.LogMean
	MM float64 `json:"mm"`
	SD float64 `json:"sd"`
}

func headsOf(mm []float64) heads {
	s := stats.Summarize(mm)
	return heads{bed.LogMeanOf(mm), s.Mean.X, s.SD.X}
}

// potRecord is a pot's record with its number.
type potRecord struct {
	n int64
	schema.Record
}

// walkOf is a walk from its pots, in the order of their numbers, and from what was written of its opening and end. It is not
// judged yet.
func walkOf(id string, pots []potRecord, parts map[string]part) *walk {
	first := pots[0].Pot.First
	w := &walk{ID: id, At: first.Stamp.At, Person: first.Person, Whole: true}
	sizes := map[string][]float64{}
	seen := seen(pots)
	for _, p := range seen {
		w.Lots = append(w.Lots, p.Now.Lot)
		if mm, ok := bed.HeadMM(p.Now); ok {
			sizes[p.Now.Lot] = append(sizes[p.Now.Lot], mm)
		}
	}
	slices.Sort(w.Lots)
	w.Lots = slices.Compact(w.Lots)
	if len(sizes) > 0 {
		w.Heads = map[string]heads{}
	}
	for lot, mm := range sizes {
		w.Heads[lot] = headsOf(mm)
	}
	for _, p := range pots {
		w.Pots = append(w.Pots, p.n)
	}
	if p, ok := parts[id]; ok {
		if p.Known {
			w.At, w.Person = p.At, p.Person
		}
		w.Hidden = p.Voided || p.Round != ""
		w.Whole, w.Ended, w.Planned = bed.Whole(p.walkPart(), len(seen)), p.Ended, p.Planned
	}
	return w
}

// records are pots' records under their ids.
func records(pots []potRecord) []schema.PotRecord {
	all := make([]schema.PotRecord, len(pots))
	for i, p := range pots {
		all[i] = schema.PotRecord{ID: nameOf(p.Key), Pot: *p.Pot}
	}
	return all
}

func seen(pots []potRecord) []schema.PotSeen { return bed.Seen(records(pots)) }
