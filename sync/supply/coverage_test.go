package supply_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"bedwalk/sync/calendar"
	"bedwalk/sync/loss"
	"bedwalk/sync/schedule"
	"bedwalk/sync/supply"
)

// go test ./sync/supply -run Coverage -v -nurseries 400 is the whole run, of some 60 CPU-seconds.
var nurseries = flag.Int("nurseries", 60, "how many invented nurseries TestCoverage draws")

const (
	weeksEach = 20
	asOf      = calendar.Day(20_000)
	season    = 0.35
	// kept is the share of its pots that every lot is expected to keep.
	kept = 0.92
)

// stages are what each lot has still to come.
var stages = []schedule.Stage{{Length: schedule.Length{Shortest: 35, Likely: 42, Longest: 56}}, {Length: schedule.Length{Shortest: 21, Likely: 35, Longest: 49}}}

var levels = []float64{0.05, 0.10, 0.25, 0.50}

// scored is how often the forecasts of weeks came true.
type scored struct {
	weeks, lots, inSpan, inReadySpan int
	// short is how many weeks were short of what was booked at each level, expected how many should have been; gaps are the share of one less that of
	// the other, nursery by nursery: weeks of one nursery share a spring and seasons, so its mean is one observation.
	short, expected [4]float64
	gaps            [4][]float64
}

// off is how far the weeks were from their forecasts, in standard errors.
func (s scored) off(level int) float64 {
	mean, sd := stat.MeanStdDev(s.gaps[level], nil)
	return mean / stat.StdErr(sd, float64(len(s.gaps[level])))
}

func (s scored) String() string {
	text := fmt.Sprintf("%d weeks, 90 %% spans of pots held %.1f %%, of ready days %.1f %% of %d lots;",
		s.weeks, 100*float64(s.inSpan)/float64(s.weeks), 100*float64(s.inReadySpan)/float64(s.lots), s.lots)
	for i := range levels {
		text += fmt.Sprintf(" short %.1f %% (expected %.1f %%, %+.1f SE)", 100*s.short[i]/float64(s.weeks), 100*s.expected[i]/float64(s.weeks), s.off(i))
	}
	return text
}

// drawn are invented nurseries. The forecasts assume that seasons differ by season; in truth they differ by trueSeason. A spring's pace is drawn from
// a normal distribution and not from five nodes, each length from Student's t and not from a table of days, each pot as one.
func drawn(trueSeason float64) (s scored) {
	chance, end, lastDay := rand.New(rand.NewPCG(77, 5)), schedule.Forward(asOf, asOf-1, stages, calendar.Workdays{})[1].Chances, remembered(lastDay)
	for range *nurseries {
		spring := chance.NormFloat64()
		seasons := [2]float64{trueSeason * chance.NormFloat64(), trueSeason * chance.NormFloat64()}
		var gap [4]float64
		for range weeksEach {
			forecast, pots := s.week(chance, end, lastDay, spring, seasons)
			s.weeks++
			if pots >= forecast.Quantile(0.05) && pots <= forecast.Quantile(0.95) {
				s.inSpan++
			}
			for i, level := range levels {
				booked := forecast.Quantile(level) + 1
				s.expected[i] += forecast.Under(booked)
				gap[i] -= forecast.Under(booked)
				if pots < booked {
					s.short[i]++
					gap[i]++
				}
			}
		}
		for i := range gap {
			s.gaps[i] = append(s.gaps[i], gap[i]/weeksEach)
		}
	}
	return s
}

// week draws the lots of one week and returns its forecast and what it had.
func (s *scored) week(chance *rand.Rand, end schedule.Chances, lastDay lastDays, spring float64, seasons [2]float64) (forecast supply.Counts, had int) {
	var lots []supply.Lot
	for range 3 + chance.IntN(4) {
		cultivar := chance.IntN(2)
		by := asOf + calendar.Day(70+chance.IntN(60))
		paces := end.AtPaces(by, asOf, schedule.Pace)
		l := supply.Lot{Cultivar: fmt.Sprint(cultivar), Survive: kept, Differ: loss.Written(kept).Differ, Ready: end.By(by), Paces: paces[:]}
		part := supply.Part{Seen: 15 + chance.IntN(15), Stood: 60 + chance.IntN(80), Prior: supply.Jeffreys(1)}
		part.OnBed = part.Stood
		seen := int(distuv.Binomial{N: float64(part.Seen), P: 0.3 + 0.6*chance.Float64(), Src: chance}.Rand())
		part.In = []int{seen}
		l.Parts = []supply.Part{part}
		lots = append(lots, l)

		days := 0
		for _, stage := range stages {
			days += lengthOf(stage.Length, chance)
		}
		from, _ := end.At(0.05)
		to, _ := end.At(0.95)
		if day := asOf + calendar.Day(days); day >= from && day <= to {
			s.inReadySpan++
		}
		s.lots++
		if float64(days) > lastDay(end, by)*math.Exp(-schedule.Pace*spring)+0.5 {
			continue
		}
		share := func(a, b float64) float64 {
			mean := 1 / (1 + math.Exp(-(math.Log(a/b) + seasons[cultivar])))
			return distuv.Beta{Alpha: mean * (a + b), Beta: (1 - mean) * (a + b), Src: chance}.Rand()
		}
		of := func(pots int, share float64) int {
			return int(distuv.Binomial{N: float64(pots), P: share, Src: chance}.Rand())
		}
		inGrade := seen + of(part.Stood-part.Seen, share(0.5+float64(seen), 0.5+float64(part.Seen-seen)))
		both := 1/loss.Written(kept).Differ - 1
		had += of(inGrade, share(kept*both, (1-kept)*both))
	}
	return supply.Sum(lots, 0, season), had
}

// lengthOf draws how long a stage takes: ln(days/likely) is Student's t with 4 degrees of freedom, each side with its own scale.
func lengthOf(l schedule.Length, chance *rand.Rand) int {
	t := distuv.StudentsT{Sigma: 1, Nu: 4, Src: chance}.Rand() / distuv.StudentsT{Sigma: 1, Nu: 4}.Quantile(0.9)
	scale := math.Log(float64(l.Longest) / float64(l.Likely))
	if t < 0 {
		scale = math.Log(float64(l.Likely) / float64(l.Shortest))
	}
	return int(math.Round(float64(l.Likely) * math.Exp(t*scale)))
}

type lastDays func(end schedule.Chances, by calendar.Day) float64

func remembered(find lastDays) lastDays {
	known := map[calendar.Day]float64{}
	return func(end schedule.Chances, by calendar.Day) float64 {
		if _, ok := known[by]; !ok {
			known[by] = find(end, by)
		}
		return known[by]
	}
}

// lastDay is how many days a lot may take in a usual spring to be ready for a day. A spring stretches the days, and this is where lots of all springs
// are in time as often as the day asked for says: found over 201 springs, not over five.
func lastDay(end schedule.Chances, by calendar.Day) float64 {
	mean := func(last float64) (sum float64) {
		all := 0.0
		for i := -100; i <= 100; i++ {
			z := float64(i) / 25
			weight := math.Exp(-z * z / 2)
			all += weight
			at := last * math.Exp(-schedule.Pace*z)
			whole := calendar.Day(math.Floor(at))
			low := end.By(asOf + whole)
			sum += weight * (low + (at-math.Floor(at))*(end.By(asOf+whole+1)-low))
		}
		return sum / all
	}
	want := end.By(by)
	low, high := 0.0, 2*float64(by-asOf)
	for range 30 {
		if mid := (low + high) / 2; mean(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// Coverage of plan.md section 8: nurseries drawn from the model, and drawn with seasons that differ twice as much as is assumed. The right model must
// be within 3 standard errors of its forecasts at each level, and weeks of the wrong one must be short more often than those of the right one.
func TestCoverage(t *testing.T) {
	right, wrong := drawn(season), drawn(2*season)
	t.Logf("model right: %v", right)
	t.Logf("model wrong: %v", wrong)
	for i, level := range levels {
		if off := right.off(i); math.Abs(off) > 3 {
			t.Errorf("at %v the weeks are %.1f standard errors from their forecasts", level, off)
		}
	}
	if held := float64(right.inReadySpan) / float64(right.lots); held < 0.88 || held > 0.92 {
		t.Errorf("90 %% spans of ready days hold %.1f %%", 100*held)
	}
	if wrong.inSpan >= right.inSpan || wrong.short[0] <= right.short[0] {
		t.Error("seasons that differ twice as much are not seen")
	}
}

// Coverage of losses by themselves: weeks of four lots of 200 pots that are all in grade and ready, so that nothing else is open. Drawn with losses as
// is assumed, with losses that lie twice as far from what is expected, and with one loss for all lots, which are taken to be independent but for their season.
func TestCoverageOfLosses(t *testing.T) {
	const lots, pots, weeks = 4, 200, 20_000
	one := supply.Lot{
		Survive: kept, Differ: loss.Written(kept).Differ, Ready: 1,
		Parts: []supply.Part{{In: []int{pots}, Seen: pots, Stood: pots, OnBed: pots, Prior: supply.Jeffreys(1)}},
	}
	forecast := supply.Sum([]supply.Lot{one, one, one, one}, 0, 0)
	inSeasons := supply.Sum([]supply.Lot{one, one, one, one}, 0, season)
	chance := rand.New(rand.NewPCG(78, 6))
	held := func(forecast supply.Counts, far float64, isOne bool) (inSpan, short float64) {
		both := 1/(one.Differ*far*far) - 1
		share := distuv.Beta{Alpha: kept * both, Beta: (1 - kept) * both, Src: chance}
		for range weeks {
			had, all := 0, share.Rand()
			for range lots {
				p := all
				if !isOne {
					p = share.Rand()
				}
				had += int(distuv.Binomial{N: pots, P: p, Src: chance}.Rand())
			}
			if had >= forecast.Quantile(0.05) && had <= forecast.Quantile(0.95) {
				inSpan += 1.0 / weeks
			}
			if had < forecast.Quantile(supply.Risk) {
				short += 1.0 / weeks
			}
		}
		return inSpan, short
	}
	say := func(what string, inSpan, short float64) {
		t.Logf("%s: 90 %% spans of pots held %.1f %%, fewer than were called sure %.1f %%", what, 100*inSpan, 100*short)
	}
	inSpan, short := held(forecast, 1, false)
	say("losses right", inSpan, short)
	// Whole pots: a span of them holds a little more than it says. 3 standard errors of 20,000 weeks are 0.6 and 0.5 %.
	if inSpan < 0.894 || inSpan > 0.92 || short > 0.055 || short < 0.035 {
		t.Errorf("the spans hold %.1f %%, and %.1f %% have fewer than were sure", 100*inSpan, 100*short)
	}
	far, farShort := held(forecast, 2, false)
	say("losses twice as far off", far, farShort)
	together, togetherShort := held(forecast, 1, true)
	say("one loss for all lots", together, togetherShort)
	if far >= inSpan || together >= inSpan || farShort <= short || togetherShort <= short {
		t.Error("losses that are not as assumed are not seen")
	}
	// Lots of one cultivar share a season, in what they lose too: a written share that is as far off for all of them is within that.
	inSpan, short = held(inSeasons, 1, true)
	say("one loss for all lots, of a cultivar whose seasons count", inSpan, short)
	if short > 0.055 {
		t.Errorf("%.1f %% have fewer than were sure", 100*short)
	}
}
