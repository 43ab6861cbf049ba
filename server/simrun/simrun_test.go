package simrun

import (
	"bytes"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"bedwalk/sync/sim"
)

// seeds is how many days are simulated: 300, or BEDWALK_SEEDS of them.
func seeds(t *testing.T) int {
	if text := os.Getenv("BEDWALK_SEEDS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("BEDWALK_SEEDS is %q; give a number", text)
		}
		return n
	}
	if slow {
		return 4
	}
	return 300
}

func TestNothingIsLostOnAnySimulatedDay(t *testing.T) {
	whole, err := Many{Seeds: seeds(t), From: 1}.Run()
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	whole.Print(&out)
	t.Log("\n" + out.String())
	if len(whole.Failed) > 0 {
		t.Errorf("%d of %d seeds failed", len(whole.Failed), len(whole.Results))
	}
}

func TestASeedGivesTheSameDayTwice(t *testing.T) {
	day := func() (string, sim.Result) {
		var out bytes.Buffer
		result, err := sim.Run(sim.Options{Seed: 7, Open: Open(Many{}.dir()), Trace: func(line string) { fmt.Fprintln(&out, line) }})
		if err != nil {
			t.Fatal(err)
		}
		return out.String(), result
	}
	one, first := day()
	two, second := day()
	if one != two || fmt.Sprint(first) != fmt.Sprint(second) {
		for i, line := range strings.Split(one, "\n") {
			if other := strings.Split(two, "\n"); i < len(other) && other[i] != line {
				t.Fatalf("the days part at\n%s\n%s", line, other[i])
			}
		}
		t.Fatalf("the days differ:\n%v\n%v", first, second)
	}
	if len(one) < 10_000 {
		t.Errorf("the day is only %d characters long", len(one))
	}
}

// A checker that finds nothing proves nothing, so every fault that was planted must be found by one of them.
func TestEveryPlantedFaultIsCaught(t *testing.T) {
	if slow {
		// Left out where the race detector runs: npm test runs it once more without.
		t.Skip("too slow under the race detector; npm test runs it without")
	}
	if len(sim.Plants) != 12 {
		t.Fatalf("%d faults are planted, want 12", len(sim.Plants))
	}
	for _, plant := range sim.Plants {
		t.Run(string(plant), func(t *testing.T) {
			whole, err := Many{Seeds: 120, From: 1, Plant: plant, Stop: true}.Run()
			if err != nil {
				t.Fatal(err)
			}
			if len(whole.Failed) == 0 {
				t.Fatalf("not caught in %d days", len(whole.Results))
			}
			found := whole.Failed[0]
			t.Logf("caught on day %d by %q: %s", found.Seed, found.Violations[0].Checker, found.Violations[0].Detail)
		})
	}
}
