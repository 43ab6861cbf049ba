package bed

import "bedwalk/schema"

// When a stretch counts as left out: it is a share of the bed that matters (common practice, no source), and so long that
// pots pulled at random would leave it in fewer than one walk in a hundred.
const (
	unwalkedShare = 0.25
	unwalkedP     = 0.01
)

// unwalkedOf returns the longest stretch of rows that have pots and of which no pot was checked, nil when it is short enough to be chance or when
// fewer than Fewest pots have a place. Empty rows between two lots do not count.
func unwalkedOf(in schema.BedInput) *schema.Unwalked {
	if in.Rows < 1 {
		return nil
	}
	seen := make([]bool, in.Rows+1)
	n := 0
	for _, p := range in.Pots {
		if at := p.Now.Place; at != nil && at.Row >= 1 && at.Row <= in.Rows {
			seen[at.Row] = true
			n++
		}
	}
	if n < Fewest {
		return nil
	}
	rows := rowsWithPots(in)
	longest := schema.Unwalked{}
	most, run := 0, 0
	for i, row := range rows {
		if seen[row] {
			run = 0
			continue
		}
		run++
		if run > most {
			most = run
			longest.FromRow, longest.ToRow = rows[i-run+1], row
		}
	}
	if most == 0 {
		return nil
	}
	longest.Share = float64(most) / float64(len(rows))
	longest.P = chanceOfStretch(longest.Share, n)
	if longest.Share < unwalkedShare || longest.P > unwalkedP {
		return nil
	}
	return &longest
}

// chanceOfStretch bounds the chance that n random points leave a stretch longer than share of a line: they divide it into n+1
// pieces, of which some piece is longer than x with a chance of at most (n+1)(1-x)^n, the first term of Whitworth's sum (Choice
// and Chance, 1897; Stevens, Annals of Eugenics 9, 1939; from memory). A plan spreads its pots more evenly than that.
func chanceOfStretch(share float64, n int) float64 {
	p := float64(n + 1)
	// Multiplied one by one, so that the phone's twin gets the same bits.
	for range n {
		p *= 1 - share
	}
	return p
}

// rowsWithPots are the rows on which a lot stands, in order; all rows of a bed without lots.
func rowsWithPots(in schema.BedInput) []int {
	stands := make([]bool, in.Rows+1)
	for _, l := range in.Lots {
		for row := max(1, l.FromRow); row <= min(in.Rows, l.ToRow); row++ {
			stands[row] = true
		}
	}
	var rows []int
	for row := 1; row <= in.Rows; row++ {
		if stands[row] || len(in.Lots) == 0 {
			rows = append(rows, row)
		}
	}
	return rows
}
