package bed

import (
	"cmp"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// What makes two walks of a lot comparable, and a drift worth reporting. Common practice, no source.
const (
	dayMS        = 24 * hourMS
	weekReach    = 8 * dayMS // walks a week apart, a day late
	sameTime     = 2 * dayMS // near enough to compare without a walk on the other side
	clipJump     = 0.15      // heads do not shrink so much between two walks unless they were clipped
	fortnight    = 14 * dayMS
	driftMatters = 0.02
	driftWalks   = 3
)

// Reading is what one scout read of the heads of one lot on one bed in one walk.
type Reading struct {
	Person, Lot, Bed string
	At               int64
	Heads            LogMean
}

// LogMean is what a comparison needs of measured sizes: how many are above 0, and the mean of their natural logarithms.
type LogMean struct {
	N    int     `json:"n"`
	Mean float64 `json:"mean"`
}

// LogMeanOf sums up sizes (in any one unit); those that are not above 0 are left out.
func LogMeanOf(sizes []float64) LogMean {
	logs := make([]float64, 0, len(sizes))
	for _, size := range sizes {
		if size > 0 {
			logs = append(logs, math.Log(size))
		}
	}
	if len(logs) == 0 {
		return LogMean{}
	}
	return LogMean{len(logs), stats.Summarize(logs).Mean.X}
}

// walkAt identifies a walk: one person is on one bed at a time.
type walkAt struct {
	bed string
	at  int64
}

// comparison is one reading against others' of the same lot and bed: the difference of mean logarithms, and the share that
// each of the others had in what it was compared with. Fortnights are counted from 1970.
type comparison struct {
	person    string
	fortnight int
	walk      walkAt
	others    map[string]float64
	log       float64
}

// Drifts says how each scout reads heads against everybody else, on the same lots of the same beds in the same weeks. Each
// walk is compared with what others read there within eight days before and after it, a line drawn between the two so that
// growth does not look like drift (a walk within two days will do alone; a fall of 15 % between the two means a clip, and the
// walk is left out). From all comparisons each scout's own factor is found by least squares, because a scout who is always
// followed by one who reads large must not look as if reading small. Bias is the factor over the mean factor of the others,
// less one, with its 90 % interval.
//
// Comparisons are not independent: each walk stands in its own and in those of its neighbours, and a scout who has a day of
// reading large has it on every bed. So the comparisons of a fortnight are one cluster, and the interval is that of
// stats.Clustered (Bell and McCaffrey 2002). By simulation it holds the truth 89 to 93 times in 100, for 4 to 35 beds over 6 to
// 22 weeks, whether or not scouts waver by 1 % from day to day; clusters by bed hold it 65 times when they do. A scout is
// judged once walks of two fortnights can be compared; nobody has an interval while fortnights are no more than scouts.
//
// Attention needs a bias of 2 % or more beyond chance, and as much from the median of the others' factors: one scout who reads
// large makes each of the others look small beside their mean, but not beside their median.
//
// Scouts who share no lot with anybody, or only within one fortnight, have an unknown bias. The order is by person.
func Drifts(readings []Reading) []schema.Drift {
	walks := map[string]int{}
	var all []comparison
	for person, found := range compared(readings) {
		seen := map[walkAt]bool{}
		for _, c := range found {
			seen[c.walk] = true
		}
		walks[person] = len(seen)
		all = append(all, found...)
	}
	slices.SortStableFunc(all, func(a, b comparison) int { return cmp.Compare(a.person, b.person) })
	var out []schema.Drift
	for _, person := range people(readings) {
		out = append(out, schema.Drift{Person: person, Walks: walks[person]})
	}
	all = overTime(all)
	for _, group := range connected(all) {
		for person, f := range factors(group, all) {
			at := slices.IndexFunc(out, func(d schema.Drift) bool { return d.Person == person })
			d := &out[at]
			d.Bias = ratio(f.Estimate)
			d.Bias.N = d.Walks
			apart := d.Bias.Interval.Known && (d.Bias.Interval.Low > 0 || d.Bias.Interval.High < 0)
			d.Attention = apart && min(math.Abs(d.Bias.Value), math.Abs(f.fromMedian)) >= driftMatters && d.Walks >= driftWalks
		}
	}
	return out
}

func people(readings []Reading) []string {
	var names []string
	for _, r := range readings {
		names = append(names, r.Person)
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// compared returns each person's comparisons, in order of time.
func compared(readings []Reading) map[string][]comparison {
	type place struct{ lot, bed string }
	type point struct {
		Reading
		log float64
	}
	at := map[place][]point{}
	for _, r := range readings {
		if r.Heads.N >= MinPotsPerLot {
			key := place{r.Lot, r.Bed}
			at[key] = append(at[key], point{r, r.Heads.Mean})
		}
	}
	places := make([]place, 0, len(at))
	for key := range at {
		places = append(places, key)
	}
	slices.SortFunc(places, func(a, b place) int { return cmp.Or(cmp.Compare(a.lot, b.lot), cmp.Compare(a.bed, b.bed)) })
	found := map[string][]comparison{}
	for _, key := range places {
		points := at[key]
		slices.SortStableFunc(points, func(a, b point) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Person, b.Person)) })
		for _, p := range points {
			var before, after *point
			for i := range points {
				q := &points[i]
				switch {
				case q.Person == p.Person:
				case q.At <= p.At && p.At-q.At <= weekReach:
					before = q
				case q.At > p.At && q.At-p.At <= weekReach && after == nil:
					after = q
				}
			}
			c := comparison{person: p.Person, fortnight: int(p.At / fortnight), walk: walkAt{key.bed, p.At}}
			switch {
			case before != nil && after != nil:
				if before.log-after.log > clipJump {
					continue
				}
				w := float64(after.At-p.At) / float64(after.At-before.At)
				c.log = p.log - (w*before.log + (1-w)*after.log)
				c.others = map[string]float64{before.Person: w}
				c.others[after.Person] += 1 - w
			case before != nil && p.At-before.At <= sameTime:
				c.log, c.others = p.log-before.log, map[string]float64{before.Person: 1}
			case after != nil && after.At-p.At <= sameTime:
				c.log, c.others = p.log-after.log, map[string]float64{after.Person: 1}
			default:
				continue
			}
			found[p.Person] = append(found[p.Person], c)
		}
	}
	return found
}

// overTime leaves out, until nobody is left to leave out, those whom all comparisons meet within one fortnight: that one cluster
// alone would decide their factor, and nothing would show how certain it is.
func overTime(all []comparison) []comparison {
	for {
		seen := map[string]map[int]bool{}
		note := func(person string, fortnight int) {
			if seen[person] == nil {
				seen[person] = map[int]bool{}
			}
			seen[person][fortnight] = true
		}
		for _, c := range all {
			note(c.person, c.fortnight)
			for other := range c.others {
				note(other, c.fortnight)
			}
		}
		kept := slices.DeleteFunc(slices.Clone(all), func(c comparison) bool {
			brief := len(seen[c.person]) < 2
			for other := range c.others {
				brief = brief || len(seen[other]) < 2
			}
			return brief
		})
		if len(kept) == len(all) {
			return all
		}
		all = kept
	}
}

// connected sorts people into groups within which comparisons lead from each to each; only there can they be compared.
func connected(all []comparison) [][]string {
	group := map[string]string{}
	var find func(string) string
	find = func(p string) string {
		if group[p] == "" || group[p] == p {
			group[p] = p
			return p
		}
		return find(group[p])
	}
	for _, c := range all {
		for other := range c.others {
			a, b := find(c.person), find(other)
			group[max(a, b)] = min(a, b)
		}
	}
	members := map[string][]string{}
	for p := range group {
		members[find(p)] = append(members[find(p)], p)
	}
	var out [][]string
	for _, m := range members {
		slices.Sort(m)
		out = append(out, m)
	}
	slices.SortFunc(out, func(a, b []string) int { return cmp.Compare(a[0], b[0]) })
	return out
}

// personal is one scout's factor as a logarithm: against the mean of the others, and how far from their median.
type personal struct {
	schema.Estimate
	fromMedian float64
}

// factors finds each person's factor by least squares from log = own factor - weighted others' factors, and gives it against
// the mean of the others, as a logarithm with its interval. No comparison sees the level that all factors share, so that the
// first person's is fixed at 0; the contrasts are the same for any.
func factors(group []string, all []comparison) map[string]personal {
	k := len(group)
	var rows [][]float64
	var logs []float64
	var fortnights []int
	for _, c := range all {
		at, ok := slices.BinarySearch(group, c.person)
		if !ok {
			continue
		}
		row := make([]float64, k)
		row[at] = 1
		for other, w := range c.others {
			j, _ := slices.BinarySearch(group, other)
			row[j] -= w
		}
		rows, logs, fortnights = append(rows, row[1:]), append(logs, c.log), append(fortnights, c.fortnight)
	}
	fit, ok := stats.FitClustered(rows, logs, fortnights)
	if !ok {
		return nil
	}
	factor := append([]float64{0}, fit.Coefficients...)
	out := map[string]personal{}
	for i, person := range group {
		contrast := make([]float64, k)
		for j := range contrast {
			contrast[j] = -1 / float64(k-1)
		}
		contrast[i] = 1
		others := slices.Concat(factor[:i], factor[i+1:])
		out[person] = personal{estimate(fit.Contrast(contrast[1:], level)), factor[i] - stats.Median(others).X}
	}
	return out
}
