package supply

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"bedwalk/sync/loss"
)

// assumedSeason is what a crop starts with (schema.DefaultJudged).
const assumedSeason = 0.35

func anyLot(t *rapid.T, largest int) Lot {
	l := Lot{Cultivar: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "cultivar"), Survive: rapid.Float64Range(0.8, 1).Draw(t, "survive"), Ready: rapid.Float64Range(0, 1).Draw(t, "ready")}
	for range rapid.IntRange(1, 2).Draw(t, "beds") {
		stood := rapid.IntRange(1, largest).Draw(t, "stood")
		seen := rapid.IntRange(0, stood).Draw(t, "seen")
		first := rapid.IntRange(0, seen).Draw(t, "first")
		l.Parts = append(l.Parts, Part{
			In: []int{first, rapid.IntRange(first, seen).Draw(t, "second")}, Seen: seen, Stood: stood, Left: rapid.IntRange(0, stood).Draw(t, "left"),
			OnBed: rapid.IntRange(0, stood+2).Draw(t, "on bed"), Prior: Jeffreys(2),
		})
	}
	return l
}

func anyLots(t *rapid.T, largest int) (lots []Lot) {
	for range rapid.IntRange(1, 3).Draw(t, "lots") {
		lots = append(lots, anyLot(t, largest))
	}
	return lots
}

func logBeta(a, b float64) float64 {
	x, _ := math.Lgamma(a)
	y, _ := math.Lgamma(b)
	z, _ := math.Lgamma(a + b)
	return x + y - z
}

// betaBinomial is the textbook's formula, by log gamma: another way than the ratios of package stats.
func betaBinomial(k, n int, a, b float64) float64 {
	return math.Exp(logBeta(float64(k)+a, float64(n-k)+b) - logBeta(a, b) - logBeta(float64(k)+1, float64(n-k)+1) - math.Log(float64(n+1)))
}

// The sum against every case written out: each season of each cultivar, each lot ready or not, each number of pots on each bed.
func TestTheSumIsThatOfAllCasesWrittenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots := anyLots(t, 4)
		k := rapid.IntRange(0, 1).Draw(t, "level")
		want := map[int]float64{}
		for _, first := range nodes {
			for _, second := range nodes {
				z := map[string]float64{"a": assumedSeason * first.Z, "b": assumedSeason * second.Z}
				cases(lots, k, z, 0, first.Weight*second.Weight, want)
			}
		}
		got := Sum(lots, k, assumedSeason)
		for n, p := range want {
			if math.Abs(at(got, n)-p) > 1e-10 {
				t.Fatalf("%d pots: %v, want %v", n, at(got, n), p)
			}
		}
	})
}

// With paces too: each pace of all lots, in it each season of each cultivar, each lot ready or not, each number of pots.
func TestTheSumOfPacedLotsIsThatOfAllCasesWrittenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots := anyLots(t, 4)
		want := map[int]float64{}
		for i := range lots {
			// Any falling chances will do.
			chance, mean := 1.0, 0.0
			lots[i].Paces = nil
			for _, n := range nodes {
				chance *= rapid.Float64Range(0, 1).Draw(t, "falls")
				lots[i].Paces = append(lots[i].Paces, chance)
				mean += n.Weight * chance
			}
			lots[i].Ready = mean
		}
		for pace, of := range nodes {
			at := slices.Clone(lots)
			for i := range at {
				at[i].Ready = at[i].Paces[pace]
			}
			for _, first := range nodes {
				for _, second := range nodes {
					z := map[string]float64{"a": assumedSeason * first.Z, "b": assumedSeason * second.Z}
					cases(at, 0, z, 0, of.Weight*first.Weight*second.Weight, want)
				}
			}
		}
		got, of := Sums(lots, 0, assumedSeason)
		for n, p := range want {
			if math.Abs(at(got, n)-p) > 1e-10 {
				t.Fatalf("%d pots: %v, want %v", n, at(got, n), p)
			}
		}
		mean := 0.0
		for _, one := range of {
			mean += one.Mean()
		}
		if math.Abs(mean-got.Mean()) > 1e-9 {
			t.Fatalf("the cultivars have %v on average, all %v", mean, got.Mean())
		}
	})
}

// A pace that lots share makes a week less sure, and changes nothing of what it has on average.
func TestLotsThatAreLateTogetherAreLessSure(t *testing.T) {
	var apart []Lot
	for i := range 6 {
		apart = append(apart, Lot{Cultivar: fmt.Sprint(i), Survive: 1, Ready: 0.9, Parts: []Part{{In: []int{40}, Seen: 40, Stood: 40, OnBed: 40, Prior: Jeffreys(1)}}})
	}
	together := slices.Clone(apart)
	for i := range together {
		together[i].Paces = []float64{1, 1, 0.95, 0.7, 0.2}
		together[i].Ready = 0
		for k, n := range nodes {
			together[i].Ready += n.Weight * together[i].Paces[k]
		}
		apart[i].Ready = together[i].Ready
	}
	a, b := Sum(apart, 0, 0), Sum(together, 0, 0)
	if math.Abs(a.Mean()-b.Mean()) > 1e-9 || b.Variance() <= a.Variance() || b.Quantile(Risk) >= a.Quantile(Risk) {
		t.Errorf("apart %v (%d sure), together %v (%d sure)", a.Mean(), a.Quantile(Risk), b.Mean(), b.Quantile(Risk))
	}
}

func at(c Counts, n int) float64 {
	if n < c.Low || n >= c.Low+len(c.P) {
		return 0
	}
	return c.P[n-c.Low]
}

func cases(lots []Lot, k int, z map[string]float64, pots int, chance float64, into map[int]float64) {
	if chance == 0 {
		return
	}
	if len(lots) == 0 {
		into[pots] += chance
		return
	}
	l := lots[0]
	cases(lots[1:], k, z, pots, chance*(1-l.Ready), into)
	bedByBed(l.Parts, k, z[l.Cultivar], 0, chance*l.Ready, func(in int, chance float64) {
		cases(lots[1:], k, z, pots+int(float64(in)*l.Survive+1e-9), chance, into)
	})
}

func bedByBed(parts []Part, k int, shift float64, pots int, chance float64, visit func(int, float64)) {
	if len(parts) == 0 {
		visit(pots, chance)
		return
	}
	p := parts[0]
	a, b := p.Prior[k].A+float64(p.In[k]), p.Prior[k].B+float64(p.Seen-p.In[k])
	mean := 1 / (1 + math.Exp(-(math.Log(a/b) + shift)))
	for more := 0; more <= p.Stood-p.Seen; more++ {
		in := min(p.OnBed, max(0, p.In[k]+more-p.Left))
		bedByBed(parts[1:], k, shift, pots+in, chance*betaBinomial(more, p.Stood-p.Seen, mean*(a+b), (1-mean)*(a+b)), visit)
	}
}

// A second way: 60,000 draws of the model itself, the season from a normal and not from five nodes, each pot thrown one by one as a share.
func TestTheSumIsThatOfDraws(t *testing.T) {
	lots := []Lot{
		{Cultivar: "a", Survive: 0.97, Ready: 0.9, Parts: []Part{{In: []int{18}, Seen: 20, Stood: 120, OnBed: 120, Prior: Jeffreys(1)}}},
		{Cultivar: "a", Survive: 1, Ready: 1, Parts: []Part{{In: []int{27}, Seen: 30, Stood: 150, Left: 5, OnBed: 145, Prior: Jeffreys(1)}}},
		{Cultivar: "b", Survive: 0.99, Ready: 0.7, Parts: []Part{{In: []int{11}, Seen: 20, Stood: 90, OnBed: 90, Prior: Jeffreys(1)}, {Stood: 40, OnBed: 40, Prior: []Beta{{17.8, 4.6}}}}},
	}
	got := Sum(lots, 0, assumedSeason)
	chance := rand.New(rand.NewPCG(7, 11))
	const draws = 60_000
	under := map[int]int{}
	marks := []int{150, 200, 230, 250, 280, 300, 320}
	for range draws {
		z := map[string]float64{"a": assumedSeason * chance.NormFloat64(), "b": assumedSeason * chance.NormFloat64()}
		pots := 0
		for _, l := range lots {
			in := 0
			for _, p := range l.Parts {
				seen := 0
				if p.Seen > 0 {
					seen = p.In[0]
				}
				a, b := p.Prior[0].A+float64(seen), p.Prior[0].B+float64(p.Seen-seen)
				mean := 1 / (1 + math.Exp(-(math.Log(a/b) + z[l.Cultivar])))
				share := distuv.Beta{Alpha: mean * (a + b), Beta: (1 - mean) * (a + b), Src: chance}.Rand()
				drawn := distuv.Binomial{N: float64(p.Stood - p.Seen), P: share, Src: chance}.Rand()
				in += min(p.OnBed, max(0, seen+int(drawn)-p.Left))
			}
			if chance.Float64() < l.Ready {
				pots += int(math.Floor(float64(in)*l.Survive + 1e-9))
			}
		}
		for _, mark := range marks {
			if pots < mark {
				under[mark]++
			}
		}
	}
	for _, mark := range marks {
		p := got.Under(mark)
		se := math.Sqrt(max(p*(1-p), 1e-4) / draws)
		if drawn := float64(under[mark]) / draws; math.Abs(drawn-p) > 4*se+0.003 {
			t.Errorf("fewer than %d pots: %.4f, drawn %.4f", mark, p, drawn)
		}
	}
}

func TestByFourierIsTheDirectSum(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	some := func(n int) []float64 {
		p, sum := make([]float64, n), 0.0
		for i := range p {
			p[i] = chance.Float64()
			sum += p[i]
		}
		for i := range p {
			p[i] /= sum
		}
		return p
	}
	a, b := some(3000), some(2500)
	want := direct(a, b)
	for i, got := range byFourier(a, b) {
		if math.Abs(got-want[i]) > 1e-12 {
			t.Fatalf("%d: %v, want %v", i, got, want[i])
		}
	}
	if sum := (Counts{5, a}).plus(Counts{7, b}); math.Abs(sum.Under(3000)-(Counts{12, want}).Under(3000)) > 1e-9 || sum.Low < 12 {
		t.Error("a long sum is not the direct one")
	}
}

func TestALotMoreNeverMakesItLikelierToBeShort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots := anyLots(t, 30)
		want := rapid.IntRange(0, 80).Draw(t, "booked")
		fewer, more := Sum(lots[1:], 0, assumedSeason).Under(want), Sum(lots, 0, assumedSeason).Under(want)
		if more > fewer+1e-12 {
			t.Fatalf("short with %v, with a lot more %v", fewer, more)
		}
	})
}

func TestALesserGradeNeverHasFewerPots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots := anyLots(t, 30)
		want := rapid.IntRange(0, 80).Draw(t, "booked")
		if first, both := Sum(lots, 0, assumedSeason).Under(want), Sum(lots, 1, assumedSeason).Under(want); both > first+1e-9 {
			t.Fatalf("short of the first grade %v, of the first two %v", first, both)
		}
	})
}

// Placing against Hall's condition over all sets of bookings: what cannot be met is the largest lack of any set.
func TestPlacingServesAsManyAsPossibleAndTheEarlierFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots := []string{"A", "B", "C"}
		cultivars := map[string]string{"A": "a", "B": "a", "C": "b"}
		var pots []Pots
		for _, lot := range lots {
			for grade := range 2 {
				pots = append(pots, Pots{lot, cultivars[lot], grade, rapid.IntRange(0, 6).Draw(t, fmt.Sprint("pots ", lot, grade))})
			}
		}
		var bookings []Booking
		for range rapid.IntRange(0, 5).Draw(t, "bookings") {
			bookings = append(bookings, anyBooking(t))
		}
		missing := place(pots, bookings)
		for upTo := range len(bookings) + 1 {
			sum := 0
			for i, n := range missing[:upTo] {
				if n < 0 || n > bookings[i].Pots {
					t.Fatalf("%d missing of %+v", n, bookings[i])
				}
				sum += n
			}
			// So for each beginning of the list: later bookings take nothing from earlier ones.
			if want := lack(pots, bookings[:upTo]); sum != want {
				t.Fatalf("%d missing of the first %d bookings, want %d", sum, upTo, want)
			}
		}
	})
}

// anyBooking is of the lots A and B of one cultivar, of C of another, of a cultivar or of anything.
func anyBooking(t *rapid.T) Booking {
	scope := rapid.SampledFrom([]Booking{{}, {Cultivar: "a"}, {Cultivar: "b"}, {Lot: "A", Cultivar: "a"}, {Lot: "B", Cultivar: "a"}, {Lot: "C"}}).Draw(t, "scope")
	scope.Grade, scope.Pots = rapid.IntRange(0, 1).Draw(t, "grade"), rapid.IntRange(0, 9).Draw(t, "of")
	return scope
}

func lack(pots []Pots, bookings []Booking) (most int) {
	for set := range 1 << len(bookings) {
		wanted, there := 0, 0
		for i, b := range bookings {
			if set>>i&1 == 1 {
				wanted += b.Pots
			}
		}
		for _, p := range pots {
			for i, b := range bookings {
				if set>>i&1 == 1 && b.takes(p) {
					there += p.Pots
					break
				}
			}
		}
		most = max(most, wanted-there)
	}
	return most
}

func TestWhatEarlierLotsDoNotSay(t *testing.T) {
	if _, ok := FromEarlier([]Graded{{1, 10}, {9, 10}, {0, 10}, {10, 10}}); ok {
		t.Error("lots that are all or nothing fit no distribution of this kind")
	}
	if b, ok := FromEarlier([]Graded{{20, 20}, {30, 30}, {20, 20}, {25, 25}}); !ok || b.A/(b.A+b.B) >= 1 || math.IsNaN(b.A) {
		t.Errorf("four lots without a single pot out of grade: %+v, %v", b, ok)
	}
	if _, ok := loss.Survive(3, 1999, 4); ok {
		t.Error("a rate of loss from less than 2,000 pot-weeks")
	}
}

// place gives pots to bookings, one after another, and returns what is missing of each.
func place(pots []Pots, bookings []Booking) (missing []int) {
	placed := placingOf(pots)
	for _, b := range bookings {
		missing = append(missing, placed.add(b))
	}
	return missing
}
