// Command difftest prints random sets of entries and what the Go side makes of them, one JSON object a line, for the
// test of the TypeScript twin that runs it. It is for developers alone; the program that growers run does not hold it.
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/fold/foldgen"
	"bedwalk/sync/journal"
)

// answer is one case: entries in canonical text, and all that both twins must make of them. A record is "" where there
// is none.
type answer struct {
	Entries []sent            `json:"entries"`
	Keys    [][]string        `json:"keys"`
	Order   []string          `json:"order"`
	Records map[string]string `json:"records"`
	Chain   string            `json:"chain"`
	Sum     string            `json:"sum"`
	Total   string            `json:"total"`
}

type sent struct {
	Text     string       `json:"text"`
	Stamp    schema.Stamp `json:"stamp"`
	Position int64        `json:"position"`
}

func main() {
	seed := flag.Uint64("seed", 1, "seed of the first case")
	cases := flag.Int("cases", 300, "how many cases")
	flag.Parse()
	if err := run(*seed, *cases); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(seed uint64, cases int) error {
	out := bufio.NewWriter(os.Stdout)
	encoder := json.NewEncoder(out)
	for i := range cases {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		generate := foldgen.Entries
		if i%3 == 2 {
			generate = foldgen.Accepted
		}
		entries, err := generate(r, 5+r.IntN(80))
		if err != nil {
			return err
		}
		a, err := reckon(entries)
		if err != nil {
			return err
		}
		if err := encoder.Encode(a); err != nil {
			return err
		}
	}
	return out.Flush()
}

func reckon(entries []schema.Stamped) (answer, error) {
	a := answer{Records: map[string]string{}}
	var chain [32]byte
	var sum, total journal.Sum
	byKey := map[string][]schema.Stamped{}
	for _, s := range entries {
		text, err := journal.Encode(s.Entry)
		if err != nil {
			return a, err
		}
		a.Entries = append(a.Entries, sent{string(text), s.Stamp, s.Position})
		keys := fold.Keys(s.Entry)
		a.Keys = append(a.Keys, append([]string{}, keys...))
		for _, key := range keys {
			byKey[key] = append(byKey[key], s)
		}
		chain = journal.Chain(chain, text)
		sum = sum.Add(journal.Hash(text, s.Stamp))
	}
	for _, key := range slices.Sorted(maps.Keys(byKey)) {
		record, made := fold.Fold(key, byKey[key])
		a.Records[key] = ""
		if !made {
			continue
		}
		text, err := fold.Text(record)
		if err != nil {
			return a, err
		}
		hash, err := fold.Hash(record)
		if err != nil {
			return a, err
		}
		a.Records[key] = string(text)
		total = total.Add(hash)
	}
	slices.SortFunc(entries, fold.Order)
	for _, s := range entries {
		a.Order = append(a.Order, s.Entry.ID)
	}
	a.Chain, a.Sum, a.Total = journal.ChainHex(chain), sum.String(), fold.Total(total)
	return a, nil
}
