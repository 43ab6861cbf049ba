// Command rcheck compares package stats with R on random inputs: go run ./sync/stats/rcheck [-n 200] [-seed 1].
//
// It is for whoever changes a formula, not for every test run: it needs Rscript (Debian: r-base-core, r-cran-psych,
// r-cran-spdep) and says plainly what it skipped when R or a package is missing. It writes nothing but its report. Its
// central type is question: one R expression beside the same reckoning in Go.
package main

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
)

// question is one comparison: code is R that prints numbers with out(), have is what Go says, in the same order. NaN stands for
// unknown, which R must answer with NA.
type question struct {
	about string
	needs string // R package, empty for base R
	code  string
	have  []float64
	rel   float64
}

func main() {
	n := flag.Int("n", 200, "random inputs of each kind")
	seed := flag.Uint64("seed", 1, "seed of the random inputs")
	flag.Parse()
	if _, err := exec.LookPath("Rscript"); err != nil {
		fmt.Println("skipped everything: Rscript is not installed (Debian: apt-get install r-base-core r-cran-psych r-cran-spdep)")
		return
	}
	if err := run(*n, rand.New(rand.NewPCG(*seed, 0))); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(n int, rng *rand.Rand) error {
	present, err := packages("psych", "spdep")
	if err != nil {
		return err
	}
	tally := map[string][2]int{}
	var asked []question
	var order []string
	for range n {
		for _, q := range ask(rng) {
			t, known := tally[q.about]
			if !known {
				order = append(order, q.about)
			}
			if q.needs != "" && !present[q.needs] {
				t[1]++
			} else {
				t[0]++
				asked = append(asked, q)
			}
			tally[q.about] = t
		}
	}
	answers, err := answer(asked)
	if err != nil {
		return err
	}
	wrong := 0
	for i, q := range asked {
		if differ := compare(q, answers[i]); differ != "" {
			wrong++
			if wrong <= 10 {
				fmt.Printf("DIFFERS: %s: %s\n  %s\n", q.about, differ, q.code)
			}
		}
	}
	for _, about := range order {
		if t := tally[about]; t[1] > 0 {
			fmt.Printf("%-36s skipped %d: an R package it needs is not installed\n", about, t[1])
		} else {
			fmt.Printf("%-36s %d compared\n", about, t[0])
		}
	}
	if wrong > 0 {
		return fmt.Errorf("%d of %d differ", wrong, len(asked))
	}
	fmt.Printf("all %d agree with R\n", len(asked))
	return nil
}

func packages(names ...string) (map[string]bool, error) {
	present := map[string]bool{}
	for _, name := range names {
		out, err := exec.Command("Rscript", "-e", fmt.Sprintf("cat(requireNamespace(%q, quietly = TRUE))", name)).Output()
		if err != nil {
			return nil, fmt.Errorf("asking R for its package %s: %w", name, err)
		}
		present[name] = strings.Contains(string(out), "TRUE")
	}
	return present, nil
}

// answer runs all questions in one R session, one line of numbers each.
func answer(asked []question) ([][]float64, error) {
	var script strings.Builder
	script.WriteString("suppressPackageStartupMessages({library(stats)})\nout <- function(...) cat(formatC(c(...), digits = 16, format = 'g'), '\\n')\n")
	for _, p := range []string{"psych", "spdep"} {
		for _, q := range asked {
			if q.needs == p {
				fmt.Fprintf(&script, "suppressPackageStartupMessages(library(%s))\n", p)
				break
			}
		}
	}
	for _, q := range asked {
		fmt.Fprintf(&script, "local({%s})\n", q.code)
	}
	cmd := exec.Command("Rscript", "-")
	cmd.Stdin = strings.NewReader(script.String())
	cmd.Stderr = os.Stderr
	raw, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("running R: %w", err)
	}
	lines := strings.Split(strings.TrimSpace(string(raw)), "\n")
	if len(lines) != len(asked) {
		return nil, fmt.Errorf("R gave %d answers to %d questions", len(lines), len(asked))
	}
	answers := make([][]float64, len(lines))
	for i, line := range lines {
		for _, word := range strings.Fields(line) {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				v = math.NaN() // NA
			}
			answers[i] = append(answers[i], v)
		}
	}
	return answers, nil
}

func compare(q question, r []float64) string {
	if len(r) != len(q.have) {
		return fmt.Sprintf("R gave %d numbers, Go %d", len(r), len(q.have))
	}
	for i, v := range r {
		h := q.have[i]
		if math.IsNaN(v) && math.IsNaN(h) {
			continue
		}
		if !(math.Abs(h-v) <= q.rel*math.Max(math.Abs(v), 1e-8)) {
			return fmt.Sprintf("number %d: Go %.15g, R %.15g", i+1, h, v)
		}
	}
	return ""
}
