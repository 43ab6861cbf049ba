package bed

import "bedwalk/schema"

// When a stretch counts as left out: it is a share of the bed that matters (common practice, no source), and so long that
// pots pulled at random would leave it in fewer than one walk in a hundred.
const (
	unwalkedShare = 0.25
	unwalkedP     = 0.01
)

// unwalkedOf returns the longest stretch of rows that have pots and of which no pot was checked, nil when it is short enough to be
// chance or when fewer than Fewest pots have a place. Empty rows between two lots do not count. A phone leads along one aisle of a
// bed with two and back along the other, so a walk cut short may have seen every row from one side only: such a stretch of one side
// is returned where there is none of the whole width.
func unwalkedOf(in schema.BedInput) *schema.Unwalked {
	var seen []schema.Place
	for _, p := range in.Pots {
		if at := p.Now.Place; at != nil && at.Row >= 1 && at.Row <= in.Rows {
			seen = append(seen, *at)
		}
	}
	if len(seen) < Fewest {
		return nil
	}
	rows := rowsWithPots(in)
	if whole := longestOf(rows, seen, func(schema.Place) bool { return true }, len(rows)); whole != nil || in.Aisles != "both" || in.Across < 2 {
		return whole
	}
	// The middle of an odd number is counted from the near side, as the phone's guide does.
	isFar := func(at schema.Place) bool { return in.Across+1-at.Across < at.Across }
	isNear := func(at schema.Place) bool { return !isFar(at) }
	if beyond := beyondOf(rows, seen, isNear, isFar); beyond != nil {
		return beyond
	}
	near, far := longestOf(rows, seen, isNear, 2*len(rows)), longestOf(rows, seen, isFar, 2*len(rows))
	if near != nil && (far == nil || near.Share > far.Share) {
		near.Side = "near"
		return near
	}
	if far != nil {
		far.Side = "far"
	}
	return far
}

// beyondOf returns the rows beyond the last pot of a walk that stopped on its way out along one aisle: it left them from both sides,
// and all of the way back. The chance is that of the whole stretch, the share that of the rows which neither side saw.
func beyondOf(rows []int, seen []schema.Place, isNear, isFar func(schema.Place) bool) *schema.Unwalked {
	near, far := unseenAfter(rows, seen, isNear), unseenAfter(rows, seen, isFar)
	n := min(near, far)
	if n == 0 {
		return nil
	}
	u := schema.Unwalked{FromRow: rows[len(rows)-n], ToRow: rows[len(rows)-1], Share: float64(n) / float64(len(rows))}
	u.P = chanceOfStretch(float64(near+far)/float64(2*len(rows)), len(seen))
	if u.Share < unwalkedShare || u.P > unwalkedP {
		return nil
	}
	return &u
}

// unseenAfter counts the rows after the last one of which a pot that belongs was seen.
func unseenAfter(rows []int, seen []schema.Place, belongs func(schema.Place) bool) int {
	last := 0
	for _, at := range seen {
		if belongs(at) {
			last = max(last, at.Row)
		}
	}
	n := 0
	for _, row := range rows {
		if row > last {
			n++
		}
	}
	return n
}

// longestOf returns the longest stretch of rows without one of the pots seen that belong to it, as a share of a line of that many
// rows; nil when it is short enough to be chance.
func longestOf(rows []int, seen []schema.Place, belongs func(schema.Place) bool, line int) *schema.Unwalked {
	isSeen := map[int]bool{}
	for _, at := range seen {
		if belongs(at) {
			isSeen[at.Row] = true
		}
	}
	longest := schema.Unwalked{}
	most, run := 0, 0
	for i, row := range rows {
		if isSeen[row] {
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
	longest.Share = float64(most) / float64(line)
	longest.P = chanceOfStretch(longest.Share, len(seen))
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

// sideName is the End of a finding about one side of a bed; empty for the whole width.
func sideName(side string) string {
	if side == "" {
		return ""
	}
	return side + "_side"
}
