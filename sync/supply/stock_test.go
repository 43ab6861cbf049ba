package supply

import (
	"encoding/json"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/fixtures/checks"
	"bedwalk/schema"
	"bedwalk/sync/fold"
)

func cuttingsAhead(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Takes  []Take
		Plants int
		Level  float64
	}](t, c.Inputs)
	want := checks.Read[struct {
		PerPlant            float64 `json:"per_plant"`
		Expected, Low, High float64
	}](t, c.Expected)
	got, known := Cuttings(in.Takes, in.Plants, in.Level)
	if !known || !got.HasInterval {
		t.Fatalf("known %v, %+v", known, got)
	}
	c.Near(t, "per plant", got.PerPlant, want.PerPlant)
	c.Near(t, "expected", got.Expected, want.Expected)
	c.Near(t, "low", got.Low, want.Low)
	c.Near(t, "high", got.High, want.High)
}

func moveConserves(t *testing.T, c checks.Case) {
	in := checks.Read[schema.Move](t, c.Inputs)
	want := checks.Read[struct {
		Balanced bool
		Plants   int
	}](t, c.Expected)
	plants := 0
	for _, leg := range in.Legs {
		plants += leg.Plants()
	}
	if plants != want.Plants || (plants == 0) != want.Balanced {
		t.Errorf("%d plants, want %+v", plants, want)
	}
}

func TestASingleTakeHasNoIntervalAndNoPlantsNoRate(t *testing.T) {
	if got, known := Cuttings([]Take{{620, 40}, {90, 0}}, 38, 0.9); !known || got.HasInterval || got.PerPlant != 15.5 || got.Expected != 589 {
		t.Errorf("%v %+v", known, got)
	}
	if _, known := Cuttings([]Take{{90, 0}}, 38, 0.9); known {
		t.Error("cuttings of no known plants gave a rate")
	}
}

// lives is a random life of a few lots, written as the app writes it, beside the plants themselves: each has a number, and is in one pot of one
// lot or has left.
type lives struct {
	t       rapid.TB
	entries []schema.Stamped
	each    map[string]int
	pots    map[string][][]int
	next    int
	in, out map[string]int
}

func (h *lives) note(kind string, body any, lots ...string) {
	raw, err := json.Marshal(body)
	if err != nil {
		h.t.Fatal(err)
	}
	n := int64(len(h.entries) + 1)
	h.entries = append(h.entries, schema.Stamped{
		Entry: schema.Entry{ID: fmt.Sprintf("e%d", n), Device: "d", Incarnation: 1, Seq: n, Kind: kind, Lot: lots[0], Body: raw},
		Stamp: schema.Stamp{At: n, From: n, To: n}, Position: n,
	})
}

func (h *lives) come(lot string, pots int, reason string) {
	for range pots {
		pot := make([]int, h.each[lot])
		for i := range pot {
			h.next++
			pot[i] = h.next
		}
		h.pots[lot] = append(h.pots[lot], pot)
	}
	h.in[lot] += pots * h.each[lot]
	h.note("count", schema.Count{Lot: lot, Change: pots, Reason: reason}, lot)
}

func (h *lives) leave(lot string, pots int, reason string) {
	h.pots[lot] = h.pots[lot][pots:]
	h.out[lot] += pots * h.each[lot]
	h.note("count", schema.Count{Lot: lot, Change: -pots, Reason: reason}, lot)
}

// step carries pots of one lot on as another's, several plants to a pot; what would leave a plant over is not done.
func (h *lives) step(from, to string, pots int) bool {
	plants := pots * h.each[from]
	if pots == 0 || plants%h.each[to] != 0 {
		return false
	}
	var loose []int
	for _, pot := range h.pots[from][:pots] {
		loose = append(loose, pot...)
	}
	h.pots[from] = h.pots[from][pots:]
	made := plants / h.each[to]
	for i := range made {
		h.pots[to] = append(h.pots[to], loose[i*h.each[to]:(i+1)*h.each[to]])
	}
	h.note("move", schema.Move{Why: "step_up", Legs: []schema.Leg{
		{Lot: from, Change: -pots, PlantsEach: new(h.each[from])}, {Lot: to, Change: made, PlantsEach: new(h.each[to])},
	}}, from, to)
	return true
}

// stocks are the lots' ledgers as they are folded from the entries.
func (h *lives) stocks() map[string]*schema.Stock {
	sets := map[string][]schema.Stamped{}
	for _, e := range h.entries {
		for _, key := range fold.Keys(e.Entry) {
			sets[key] = append(sets[key], e)
		}
	}
	stocks := map[string]*schema.Stock{}
	for key, set := range sets {
		if record, made := fold.Fold(key, set); made && record.Stock != nil {
			stocks[record.Lot] = record.Stock
		}
	}
	return stocks
}

func TestNoHistoryMakesAPlantFromNothing(t *testing.T) {
	steps := 0
	rapid.Check(t, func(t *rapid.T) {
		h := &lives{t: t, each: map[string]int{}, pots: map[string][][]int{}, in: map[string]int{}, out: map[string]int{}}
		lots := []string{"mother", "cuttings", "liners", "pots"}
		for _, lot := range lots {
			h.each[lot] = rapid.IntRange(1, 4).Draw(t, "plants in a pot of "+lot)
		}
		h.each["cuttings"] = 1
		h.come("mother", rapid.IntRange(1, 30).Draw(t, "mothers"), "opening")
		for range rapid.IntRange(1, 25).Draw(t, "notes") {
			lot := rapid.SampledFrom(lots).Draw(t, "lot")
			some := rapid.IntRange(0, len(h.pots[lot])).Draw(t, "pots")
			switch rapid.SampledFrom([]string{"cuttings", "step", "lose", "ship", "return"}).Draw(t, "what") {
			case "cuttings":
				h.come("cuttings", rapid.IntRange(1, 60).Draw(t, "cuttings"), "struck")
			case "step":
				if to := rapid.SampledFrom(lots).Draw(t, "to"); to != lot && h.step(lot, to, some) {
					steps++
				}
			case "lose":
				if some > 0 {
					h.leave(lot, some, "lost_root")
				}
			case "ship":
				if some > 0 {
					h.leave(lot, some, "shipped")
				}
			case "return":
				h.come(lot, 1+some, "returned")
			}
		}
		stocks, here, left := h.stocks(), map[int]string{}, 0
		each := func(lot string) int { return h.each[lot] }
		from, on := 0, 0
		for _, lot := range lots {
			for _, pot := range h.pots[lot] {
				for _, plant := range pot {
					if other, twice := here[plant]; twice {
						t.Fatalf("plant %d is in a pot of %s and of %s", plant, other, lot)
					}
					here[plant] = lot
				}
			}
			got := PlantsOf(stocks[lot], h.each[lot])
			if got.Here != len(h.pots[lot])*h.each[lot] || got.In != h.in[lot] || got.Out != h.out[lot] || got.Recounted != 0 {
				t.Fatalf("%s: %+v, but %d pots, %d in and %d out", lot, got, len(h.pots[lot]), h.in[lot], h.out[lot])
			}
			from, on, left = from+got.From, on+got.On, left+got.In-got.Out
			if stocks[lot] != nil {
				if astray := Astray(lot, stocks, each); len(astray) > 0 {
					t.Fatalf("%s: %+v", lot, astray)
				}
			}
		}
		if left != len(here) || from != on {
			t.Fatalf("%d plants came and did not leave, %d are here; %d went on, %d arrived", left, len(here), on, from)
		}
	})
	if steps == 0 {
		t.Fatal("no step-up was tried")
	}
}

// What somebody changes later in “plants in each pot” makes a move's plants appear or vanish: it is named, and the recount's difference is not hidden.
func TestAMoveThatDoesNotAddUpInPlantsIsNamed(t *testing.T) {
	h := &lives{t: t, each: map[string]int{"liners": 1, "pots": 3}, pots: map[string][][]int{}, in: map[string]int{}, out: map[string]int{}}
	h.come("liners", 600, "potted")
	h.step("liners", "pots", 600)
	h.note("recount", schema.Recount{Lot: "pots", Counted: 195, Basis: map[string]int64{"d.1": 2}}, "pots")
	stocks := h.stocks()
	if got := PlantsOf(stocks["pots"], 3); got.From != 600 || got.Recounted != -15 || got.Here != 585 {
		t.Fatalf("%+v", got)
	}
	astray := Astray("pots", stocks, func(lot string) int { return map[string]int{"liners": 1, "pots": 2}[lot] })
	if len(astray) != 1 || astray[0].Plants != -200 || astray[0].Entry != "e2" {
		t.Fatalf("%+v", astray)
	}
}
