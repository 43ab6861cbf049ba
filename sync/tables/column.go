package tables

import (
	"bytes"
	"strconv"

	"bedwalk/sync/journal"
)

// most is the largest integer that a JSON number holds exactly (RFC 8785; RFC 7493, 2.2).
const most = int64(1)<<53 - 1

// like are columns that mostly have the values of another one.
var like = map[string]string{"entry.body.lot": "entry.lot", "entry.body.bed": "entry.bed"}

// near are columns whose numbers lie near those of another one. The reader follows what the page says, so this list may change.
var near = map[string]string{
	"entry.mono": "entry.wall", "stamp.at": "entry.wall", "stamp.from": "stamp.at", "stamp.to": "stamp.at",
	"entry.body.head_b_mm": "entry.body.head_a_mm",
}

// column writes a column in the shortest of its forms.
func (w *writer) column(out []byte, path string, cells [][]byte, find func(string) [][]byte) []byte {
	full := true
	for _, c := range cells {
		full = full && c != nil
	}
	if full && allAlike(cells) {
		return append(append(append(out, `{"all":`...), cells[0]...), '}')
	}
	if other := like[path]; other != "" && equal(cells, find(other)) {
		return append(strconv.AppendQuote(append(out, `{"as":`...), other), '}')
	}
	out = append(out, '{')
	numbers, whole := integers(cells)
	if whole {
		if other := near[path]; other != "" {
			if less, ok := subtract(numbers, cells, find(other)); ok {
				out = append(strconv.AppendQuote(append(out, `"less":`...), other), ',')
				numbers, cells = less, w.written(less, cells)
				if full && allAlike(cells) {
					return append(append(append(out, `"all":`...), cells[0]...), '}')
				}
			}
		}
		if full {
			if steps, ok := w.steps(numbers); ok && length(steps) < length(cells) {
				return append(list(append(out, `"steps":`...), steps), '}')
			}
		}
	} else if names, ok := w.named(cells); ok {
		return append(list(append(out, `"names":`...), names), '}')
	}
	return append(list(append(out, `"values":`...), cells), '}')
}

func allAlike(cells [][]byte) bool {
	for _, c := range cells[1:] {
		if !bytes.Equal(c, cells[0]) {
			return false
		}
	}
	return true
}

func equal(a, b [][]byte) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !bytes.Equal(a[i], b[i]) {
			return false
		}
	}
	return true
}

// integers reads the cells as whole numbers, 0 for those that are empty. Ok is false where one is something else.
func integers(cells [][]byte) (numbers []int64, ok bool) {
	numbers = make([]int64, len(cells))
	for i, c := range cells {
		if c == nil {
			continue
		}
		if numbers[i], ok = journal.Integer(c); !ok {
			return nil, false
		}
	}
	return numbers, true
}

// subtract takes another column's numbers away. Ok is false where that has none for one of these.
func subtract(numbers []int64, cells, other [][]byte) (less []int64, ok bool) {
	if len(other) != len(cells) {
		return nil, false
	}
	less = make([]int64, len(numbers))
	for i, c := range cells {
		if c == nil {
			continue
		}
		n, ok := journal.Integer(other[i])
		if less[i] = numbers[i] - n; !ok || less[i] < -most || most < less[i] {
			return nil, false
		}
	}
	return less, true
}

func (w *writer) steps(numbers []int64) (cells [][]byte, ok bool) {
	cells = make([][]byte, len(numbers))
	before := int64(0)
	for i, n := range numbers {
		step := n - before
		if step < -most || most < step {
			return nil, false
		}
		cells[i], before = w.number(step), n
	}
	return cells, true
}

// written are numbers as cells, empty where the cells were.
func (w *writer) written(numbers []int64, was [][]byte) [][]byte {
	cells := make([][]byte, len(numbers))
	for i, n := range numbers {
		if was[i] != nil {
			cells[i] = w.number(n)
		}
	}
	return cells
}

// named gives texts that come back by their place among the page's names. Ok is false for a column of anything else, and for
// one in which most texts stand once.
func (w *writer) named(cells [][]byte) (places [][]byte, ok bool) {
	filled := 0
	different := map[string]bool{}
	for _, c := range cells {
		if c == nil {
			continue
		}
		if c[0] != '"' {
			return nil, false
		}
		filled++
		if !different[string(c)] {
			different[string(c)] = true
		}
	}
	if 2*len(different) > filled {
		return nil, false
	}
	places = make([][]byte, len(cells))
	for i, c := range cells {
		if c == nil {
			continue
		}
		place, known := w.names[string(c)]
		if !known {
			place = len(w.listed)
			w.names[string(c)], w.listed = place, append(w.listed, c)
		}
		places[i] = w.number(int64(place))
	}
	return places, true
}

var null = []byte("null")

func list(out []byte, cells [][]byte) []byte {
	out = append(out, '[')
	for i, c := range cells {
		if i > 0 {
			out = append(out, ',')
		}
		if c == nil {
			c = null
		}
		out = append(out, c...)
	}
	return append(out, ']')
}

func length(cells [][]byte) (n int) {
	for _, c := range cells {
		n += len(c)
	}
	return n
}
