// Package tables writes a page of the journal as tables of columns, in which what is alike in many entries stands once, and
// reads it back to the byte. What it writes is JSON that anybody can read (schema.TablePage).
package tables

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"slices"
	"strconv"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Write gives a page as the JSON of a schema.TablePage. It reads the entries' bytes and makes no copy of them.
func Write(page schema.Pull) ([]byte, error) {
	w := writer{root: newNode(""), tables: map[string]*table{}, names: map[string]int{}}
	hash := sha256.New()
	var rest []schema.Pulled
	var one []byte
	for i, item := range page.Items {
		one = line(one[:0], item, receiptAt(page.Receipts, i))
		hash.Write(one)
		if !w.add(item) {
			rest = append(rest, item)
		}
	}
	return w.page(page, rest, hash.Sum(nil))
}

// line appends an item's part in the hash of its page.
func line(out []byte, item schema.Pulled, receipt string) []byte {
	out = strconv.AppendInt(out, item.Position, 10)
	sum := journal.Hash(item.Entry, item.Stamp)
	out = hex.AppendEncode(append(out, ' '), sum[:])
	return append(append(append(out, ' '), receipt...), '\n')
}

func receiptAt(all string, i int) string {
	if len(all) < (i+1)*schema.ReceiptChars {
		return ""
	}
	return all[i*schema.ReceiptChars : (i+1)*schema.ReceiptChars]
}

// node is a step on the way to a value. Column is its place among a table's columns.
type node struct {
	path   string
	column int
	under  map[string]*node
}

func newNode(path string) *node { return &node{path: path, column: -1, under: map[string]*node{}} }

// cell is a value on its way into a table.
type cell struct {
	at    *node
	value []byte
}

type table struct {
	rows int
	// columns have a value for each row, nil where there is none; the last rows may be missing.
	columns [][][]byte
	ids     []byte
}

type writer struct {
	root   *node
	paths  []string
	tables map[string]*table
	order  []*table
	cells  []cell
	names  map[string]int
	listed [][]byte
	// digits holds the numbers that were written for cells.
	digits []byte
}

func (w *writer) number(n int64) []byte {
	if cap(w.digits)-len(w.digits) < 20 {
		w.digits = make([]byte, 0, 16<<10)
	}
	from := len(w.digits)
	w.digits = strconv.AppendInt(w.digits, n, 10)
	return w.digits[from:len(w.digits):len(w.digits)]
}

var errNoTable = errors.New("fits in no table")

// maxColumns is how many different fields the tables of a page have: more than all kinds of this build together have in use. Each costs a
// cell in every row of its table, and whoever writes an entry may name as many unknown fields as fit in it.
const maxColumns = 400

const idPath, kindPath = "entry.id", "entry.kind"

// add puts an item into the table of its kind. It is false for one that fits in none.
func (w *writer) add(item schema.Pulled) bool {
	w.cells = w.cells[:0]
	stamp := w.root.child("stamp")
	for _, one := range []struct {
		at    *node
		value []byte
	}{
		{w.root.child("position"), w.number(item.Position)},
		{stamp.child("at"), w.number(item.Stamp.At)},
		{stamp.child("from"), w.number(item.Stamp.From)},
		{stamp.child("quality"), strconv.AppendQuote(nil, string(item.Stamp.Quality))},
		{stamp.child("to"), w.number(item.Stamp.To)},
	} {
		w.cells = append(w.cells, cell{one.at, one.value})
	}
	if w.flatten(w.root.child("entry"), item.Entry) != nil {
		return false
	}
	var kind, id []byte
	added := 0
	for _, c := range w.cells {
		if c.at.column < 0 {
			added++
		}
		switch c.at.path {
		case kindPath:
			kind = c.value
		case idPath:
			id = c.value
		}
	}
	if !isID(id) || kind == nil || len(w.paths)+added > maxColumns {
		return false
	}
	t := w.tables[string(kind)]
	if t == nil {
		t = &table{}
		w.tables[string(kind)], w.order = t, append(w.order, t)
	}
	t.ids, _ = hex.AppendDecode(t.ids, id[1:len(id)-1])
	for _, c := range w.cells {
		if c.at.path == idPath {
			continue
		}
		if c.at.column < 0 {
			c.at.column, w.paths = len(w.paths), append(w.paths, c.at.path)
		}
		for len(t.columns) <= c.at.column {
			t.columns = append(t.columns, nil)
		}
		column := &t.columns[c.at.column]
		for len(*column) < t.rows {
			*column = append(*column, nil)
		}
		*column = append(*column, c.value)
	}
	t.rows++
	return true
}

func (n *node) child(name string) *node {
	if found := n.under[name]; found != nil {
		return found
	}
	path := name
	if n.path != "" {
		path = n.path + "." + name
	}
	made := newNode(path)
	n.under[name] = made
	return made
}

// flatten lists the values of an object, each by the way to it. What is null, has no member, or has a name that makes the
// way ambiguous cannot be told from its neighbours in a table.
func (w *writer) flatten(at *node, raw []byte) error {
	return journal.Members(raw, func(name, value []byte) error {
		if len(name) == 0 || bytes.IndexByte(name, '.') >= 0 || string(name) == "__proto__" {
			return errNoTable
		}
		here := at.under[string(name)]
		if here == nil {
			here = at.child(string(name))
		}
		switch {
		case string(value) == "null":
			return errNoTable
		case value[0] == '{' && len(value) > 2:
			return w.flatten(here, value)
		}
		w.cells = append(w.cells, cell{here, value})
		return nil
	})
}

func isID(quoted []byte) bool {
	if len(quoted) != 34 {
		return false
	}
	for _, c := range quoted[1:33] {
		if (c < '0' || '9' < c) && (c < 'a' || 'f' < c) {
			return false
		}
	}
	return true
}

// page puts it together; rest are the items that fit in no table. The ids and receipts stand side by side: gzip then packs these
// random characters by themselves.
func (w *writer) page(page schema.Pull, rest []schema.Pulled, hash []byte) ([]byte, error) {
	page.Items = []schema.Pulled{}
	out, err := Plain(page, rest)
	if err != nil {
		return nil, err
	}
	var ids []byte
	for _, t := range w.order {
		ids = append(ids, t.ids...)
	}
	out = base64.RawURLEncoding.AppendEncode(append(out[:len(out)-1], `,"ids":"`...), ids)
	out = hex.AppendEncode(append(out, `","hash":"`...), hash[:16])
	out = strconv.AppendInt(append(out, `","v":`...), schema.TablesVersion, 10)
	out = append(out, `,"tables":[`...)
	for i, t := range w.order {
		if i > 0 {
			out = append(out, ',')
		}
		out = w.table(out, t)
	}
	out = append(append(out, `],"names":[`...), bytes.Join(w.listed, []byte(","))...)
	return append(out, "]}"...), nil
}

// Plain gives a page as JSON with each entry's bytes as they are: package json would look through every entry again and
// escape what its writer did not. Frame is the rest of the page, which has an empty list of items.
func Plain(frame any, items []schema.Pulled) ([]byte, error) {
	whole, err := json.Marshal(frame)
	if err != nil {
		return nil, err
	}
	const empty = `"items":[]`
	before, after, _ := bytes.Cut(whole, []byte(empty))
	out := make([]byte, 0, len(whole)+len(items)*800)
	out = append(append(out, before...), `"items":[`...)
	for i, item := range items {
		if i > 0 {
			out = append(out, ',')
		}
		stamp, err := json.Marshal(item.Stamp)
		if err != nil {
			return nil, err
		}
		out = strconv.AppendInt(append(out, `{"position":`...), item.Position, 10)
		out = append(append(out, `,"stamp":`...), stamp...)
		out = append(append(append(out, `,"entry":`...), item.Entry...), '}')
	}
	return append(append(out, ']'), after...), nil
}

func (w *writer) table(out []byte, t *table) []byte {
	for i := range t.columns {
		for t.columns[i] != nil && len(t.columns[i]) < t.rows {
			t.columns[i] = append(t.columns[i], nil)
		}
	}
	out = strconv.AppendInt(append(out, `{"rows":`...), int64(t.rows), 10)
	out = append(out, `,"columns":{`...)
	// By name, so that the same page has the same bytes whatever came before it.
	sorted := slices.Clone(w.paths)
	slices.Sort(sorted)
	places := map[string]int{}
	for i, path := range w.paths {
		places[path] = i
	}
	find := func(path string) [][]byte {
		if place, ok := places[path]; ok && place < len(t.columns) {
			return t.columns[place]
		}
		return nil
	}
	first := true
	for _, path := range sorted {
		cells := find(path)
		if cells == nil {
			continue
		}
		if !first {
			out = append(out, ',')
		}
		first = false
		name, _ := json.Marshal(path)
		out = append(append(out, name...), ':')
		out = w.column(out, path, cells, find)
	}
	return append(out, "}}"...)
}
