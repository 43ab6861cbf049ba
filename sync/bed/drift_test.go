package bed

import (
	"fmt"
	"math"
	"testing"

	"bedwalk/schema"
)

// season makes weekly walks of some beds by four scouts in turn: heads grow 2 % a week, beds differ, and each scout reads by
// a factor of their own that wavers from day to day, alike on all beds of the day.
func season(seed uint64, factor map[string]float64) []Reading {
	return wavering(seed, factor, 8, 10, 0)
}

func wavering(seed uint64, factor map[string]float64, beds, weeks int, wavers float64) []Reading {
	r := seeded(seed)
	var out []Reading
	scouts := []string{"ann", "bo", "cy", "dee"}
	type day struct{ week, scout int }
	mood := map[day]float64{}
	for bed := range beds {
		mean := 200 + 100*r.Float64()
		for week := range weeks {
			today := day{week, (week + bed) % len(scouts)}
			if wavers > 0 && mood[today] == 0 {
				mood[today] = wavers * r.NormFloat64()
			}
			who := scouts[today.scout]
			reading := Reading{Person: who, Lot: fmt.Sprintf("lot%d", bed), Bed: fmt.Sprintf("bed%d", bed), At: int64(week*7+r.IntN(2)) * dayMS}
			var heads []float64
			for range 25 {
				mm := mean * math.Pow(1.02, float64(week)) * (1 + 0.08*r.NormFloat64()) * factor[who] * math.Exp(mood[today])
				heads = append(heads, mm)
			}
			reading.Heads = LogMeanOf(heads)
			out = append(out, reading)
		}
	}
	return out
}

func TestADriftsIntervalHoldsTheTruthAboutNineTimesInTen(t *testing.T) {
	factor := map[string]float64{"ann": 1, "bo": 0.98, "cy": 1.04, "dee": 1}
	sum := 0.0
	for _, f := range factor {
		sum += math.Log(f)
	}
	for _, c := range []struct {
		beds, weeks, seasons int
		wavers               float64
	}{{4, 10, 600, 0}, {8, 22, 400, 0}, {8, 22, 400, 0.01}, {35, 10, 200, 0.01}, {35, 22, 100, 0}} {
		held, of := 0, 0
		for seed := range uint64(c.seasons) {
			for _, d := range Drifts(wavering(1000+seed, factor, c.beds, c.weeks, c.wavers)) {
				own := math.Log(factor[d.Person])
				truth := math.Expm1(own - (sum-own)/3)
				of++
				if d.Bias.Interval.Known && d.Bias.Interval.Low <= truth && truth <= d.Bias.Interval.High {
					held++
				}
			}
		}
		share := float64(held) / float64(of)
		t.Logf("%d beds, %d weeks, wavering %g: held %.3f of %d", c.beds, c.weeks, c.wavers, share, of)
		// A true 91 % shows between 87 % and 95 % in 400 contrasts, of which a season's four are not independent.
		if share < 0.87 || share > 0.95 {
			t.Errorf("%d beds, %d weeks, wavering %g: the truth lay in %.3f of %d intervals of 90 %%", c.beds, c.weeks, c.wavers, share, of)
		}
	}
}

func TestTheScoutWhoReadsLargeIsNamedWithAnInterval(t *testing.T) {
	named, wrongly, covered := 0, 0, 0
	const seasons = 60
	for seed := range uint64(seasons) {
		for _, d := range Drifts(season(seed, map[string]float64{"ann": 1, "bo": 1, "cy": 1.04, "dee": 1})) {
			switch {
			case d.Person == "cy" && d.Attention && d.Bias.Value > 0:
				named++
				if d.Bias.Interval.Low <= 0.04 && 0.04 <= d.Bias.Interval.High {
					covered++
				}
			case d.Person != "cy" && d.Attention:
				wrongly++
			}
		}
	}
	if named < seasons*95/100 {
		t.Errorf("named in %d of %d seasons", named, seasons)
	}
	if covered < named*80/100 {
		t.Errorf("the true 4 %% lay in %d of %d intervals of 90 %%", covered, named)
	}
	if wrongly > 3 {
		t.Errorf("others were named %d times in %d seasons", wrongly, seasons)
	}
}

func TestScoutsWhoReadAlikeAreNotNamed(t *testing.T) {
	wrongly := 0
	const seasons = 60
	for seed := range uint64(seasons) {
		for _, d := range Drifts(season(seed, map[string]float64{"ann": 1, "bo": 1, "cy": 1, "dee": 1})) {
			if d.Attention {
				wrongly++
			}
		}
	}
	if wrongly > 2 {
		t.Errorf("somebody was named %d times in %d seasons of four", wrongly, seasons)
	}
}

func TestAScoutWhoSharesNoLotHasNoBias(t *testing.T) {
	alone := Reading{Person: "eve", Lot: "own", Bed: "own", Heads: LogMeanOf([]float64{300, 310, 290})}
	drifts := Drifts(append(season(1, map[string]float64{"ann": 1, "bo": 1, "cy": 1, "dee": 1}), alone))
	if len(drifts) != 5 {
		t.Fatalf("%d scouts", len(drifts))
	}
	last := drifts[4]
	if last.Person != "eve" || last.Bias.Known || last.Walks != 0 || last.Attention {
		t.Errorf("have %+v", last)
	}
}

func TestANewScoutIsJudgedFromTheSecondFortnightAndDoesNotBlurTheOthers(t *testing.T) {
	factor := map[string]float64{"ann": 1, "bo": 1, "cy": 1.04, "dee": 1}
	newcomer := func(readings []Reading, weeks ...int) []Reading {
		for i, r := range readings {
			for _, week := range weeks {
				if r.At/(7*dayMS) == int64(week) && r.Bed < "bed4" {
					readings[i].Person = "new"
				}
			}
		}
		return readings
	}
	for _, d := range Drifts(newcomer(season(5, factor), 9)) {
		if known := d.Person != "new"; d.Bias.Known != known || d.Bias.Interval.Known != known {
			t.Errorf("in the first fortnight: %+v", d)
		}
	}
	for _, d := range Drifts(newcomer(season(5, factor), 5, 6)) {
		if !d.Bias.Known || !d.Bias.Interval.Known {
			t.Errorf("from the second fortnight on: %+v", d)
		}
	}
}

func TestDriftDoesNotDependOnTheOrderOfReadings(t *testing.T) {
	all := season(3, map[string]float64{"ann": 1, "bo": 0.97, "cy": 1, "dee": 1})
	want := bytesOf(t, Drifts(all))
	for i, j := 0, len(all)-1; i < j; i, j = i+1, j-1 {
		all[i], all[j] = all[j], all[i]
	}
	if have := bytesOf(t, Drifts(all)); have != want {
		t.Errorf("backward\n%s\nwant\n%s", have, want)
	}
}

func TestAClipBetweenTwoWalksIsNotTakenForDrift(t *testing.T) {
	heads := func(mm float64) LogMean { return LogMeanOf([]float64{mm, mm + 2, mm - 2, mm + 1}) }
	week := int64(7 * dayMS)
	drifts := Drifts([]Reading{
		{"ann", "l", "b", 0, heads(300)}, {"bo", "l", "b", week, heads(304)}, {"ann", "l", "b", 2 * week, heads(220)},
	})
	for _, d := range drifts {
		if d.Walks != 0 {
			t.Errorf("compared over a clip: %+v", d)
		}
	}
}

// Only one other walk stands beside each, before it or after it, so that nothing is drawn between two.
func TestAWalkWithinTwoDaysIsComparedByItselfAndOneOfThreeDaysIsNot(t *testing.T) {
	pairs := func(days int64) []schema.Drift {
		r := seeded(4)
		var all []Reading
		for bed := range 4 {
			for pair := range int64(6) {
				// Three weeks lie between two pairs, and who goes first changes.
				at, mean := pair*21*dayMS, 250*math.Exp(0.02*r.NormFloat64())
				who := []string{"ann", "bo"}
				for i, person := range who {
					if pair%2 == 1 {
						person = who[1-i]
					}
					var heads []float64
					for range 25 {
						heads = append(heads, mean*(1+0.05*r.NormFloat64())*map[string]float64{"ann": 1, "bo": 1.06}[person])
					}
					all = append(all, Reading{person, fmt.Sprint("l", bed), fmt.Sprint("b", bed), at + int64(i)*days*dayMS, LogMeanOf(heads)})
				}
			}
		}
		return Drifts(all)
	}
	for _, d := range pairs(3) {
		if d.Walks != 0 || d.Bias.Known {
			t.Errorf("three days apart: %+v", d)
		}
	}
	near := pairs(2)
	for i, truth := range []float64{1/1.06 - 1, 0.06} {
		if d := near[i]; d.Walks != 24 || math.Abs(d.Bias.Value-truth) > 0.02 {
			t.Errorf("two days apart, bias %.3f in truth: %+v", truth, d)
		}
	}
}

func TestPotsOfTwoWalksAreMatchedByPlace(t *testing.T) {
	at := func(id string, time int64, row, head int) schema.PotSeen {
		return schema.PotSeen{ID: id, At: time, Now: schema.Observation{Place: &schema.Place{Row: row, Across: 1}, HeadAMM: whole(head)}}
	}
	pairs := PairUp(
		[]schema.PotSeen{at("1", 1, 9, 300), at("2", 2, 4, 280), at("3", 3, 7, 260), {ID: "4"}},
		[]schema.PotSeen{at("5", 9, 4, 290), at("6", 8, 9, 310), at("7", 10, 9, 320)},
	)
	if len(pairs) != 2 || *pairs[0].A.HeadAMM != 280 || *pairs[0].B.HeadAMM != 290 || *pairs[1].B.HeadAMM != 320 {
		t.Errorf("have %v", bytesOf(t, pairs))
	}
}
