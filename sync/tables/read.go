package tables

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// MaxRows is the most rows that all tables of a page have together: a column of one value is short however many it is for.
const MaxRows = 10_000

// Code is the stable name of what is wrong with a page. The twin uses the same names.
type Code string

const (
	NoPage      Code = "no_table_page"
	ShortColumn Code = "short_column"
	WrongColumn Code = "wrong_column"
	OutOfOrder  Code = "out_of_order"
	HashDiffers Code = "hash_differs"
)

// remedy is one for all: whatever is wrong with a page of tables, the same notes can be had without them.
const remedy = "nothing of the page is taken; ask for it without tables"

var sentences = map[Code]string{
	NoPage:      "this is no page of tables that this build can read",
	ShortColumn: "a column has more or fewer values than its table has rows",
	WrongColumn: "a column cannot be read",
	OutOfOrder:  "the positions of the items do not rise",
	HashDiffers: "the entries do not have the hash that the page has",
}

// Error says what is wrong with a page, and in which column.
type Error struct {
	Code   Code
	Column string
}

func (e *Error) Error() string {
	at := ""
	if e.Column != "" {
		at = fmt.Sprintf(" (%q)", e.Column)
	}
	return fmt.Sprintf("%s%s: %s; %s", e.Code, at, sentences[e.Code], remedy)
}

// Either reads a page in whichever form it came. Errors are *Error, or json's for a page that is no JSON.
func Either(raw []byte) (page schema.Pull, err error) {
	var form struct {
		V int `json:"v"`
	}
	if err := json.Unmarshal(raw, &form); err != nil {
		return page, err
	}
	if form.V != 0 {
		return Read(raw)
	}
	return page, json.Unmarshal(raw, &page)
}

// Read gives the page whose tables these are: every entry's canonical bytes, which fit the hash of the page. Errors are *Error.
func Read(raw []byte) (schema.Pull, error) {
	var p schema.TablePage
	if err := json.Unmarshal(raw, &p); err != nil || p.V != schema.TablesVersion || p.Tables == nil {
		return schema.Pull{}, &Error{Code: NoPage}
	}
	page := p.Pull
	ids, err := base64.RawURLEncoding.Strict().DecodeString(p.IDs)
	if err != nil {
		return schema.Pull{}, &Error{WrongColumn, idPath}
	}
	for _, t := range p.Tables {
		if t.Rows < 1 || len(page.Items)+t.Rows > MaxRows {
			return schema.Pull{}, &Error{Code: NoPage}
		}
		if len(ids) < 16*t.Rows {
			return schema.Pull{}, &Error{ShortColumn, idPath}
		}
		items, err := rows(t, p.Names, ids)
		if err != nil {
			return schema.Pull{}, err
		}
		page.Items, ids = append(page.Items, items...), ids[16*t.Rows:]
	}
	if len(ids) > 0 {
		return schema.Pull{}, &Error{ShortColumn, idPath}
	}
	slices.SortStableFunc(page.Items, func(a, b schema.Pulled) int { return int(max(-1, min(1, a.Position-b.Position))) })
	if err := sound(page, p.Hash); err != nil {
		return schema.Pull{}, err
	}
	return page, nil
}

// sound holds a page to its order and its hash.
func sound(page schema.Pull, want string) error {
	hash := sha256.New()
	last := int64(0)
	for i, item := range page.Items {
		if item.Position <= last {
			return &Error{Code: OutOfOrder}
		}
		last = item.Position
		hash.Write(line(nil, item, receiptAt(page.Receipts, i)))
	}
	if hex.EncodeToString(hash.Sum(nil)[:16]) != want {
		return &Error{Code: HashDiffers}
	}
	return nil
}

func rows(t schema.Table, names []string, ids []byte) ([]schema.Pulled, error) {
	c := columns{t, names, map[string][]json.RawMessage{}}
	trees := make([]map[string]any, t.Rows)
	for i := range trees {
		trees[i] = map[string]any{"entry": map[string]any{"id": hex.EncodeToString(ids[16*i : 16*i+16])}}
	}
	for _, path := range slices.Sorted(maps.Keys(t.Columns)) {
		cells, err := c.cells(path, 0)
		if err != nil {
			return nil, err
		}
		for i, cell := range cells {
			if cell != nil && !put(trees[i], path, cell) {
				return nil, &Error{WrongColumn, path}
			}
		}
	}
	items := make([]schema.Pulled, t.Rows)
	for i, tree := range trees {
		raw, err := json.Marshal(tree)
		if err == nil {
			err = json.Unmarshal(raw, &items[i])
		}
		if err == nil {
			items[i].Entry, err = journal.Canonical(items[i].Entry)
		}
		if err != nil {
			return nil, &Error{WrongColumn, "entry"}
		}
	}
	return items, nil
}

// put sets the value at the end of a way. It is false where something stands in the way.
func put(tree map[string]any, path string, value json.RawMessage) bool {
	steps := strings.Split(path, ".")
	for _, step := range steps[:len(steps)-1] {
		if step == "" || step == "__proto__" {
			return false
		}
		next, ok := tree[step].(map[string]any)
		if !ok {
			if tree[step] != nil {
				return false
			}
			next = map[string]any{}
			tree[step] = next
		}
		tree = next
	}
	last := steps[len(steps)-1]
	if _, taken := tree[last]; taken || last == "" || last == "__proto__" {
		return false
	}
	tree[last] = value
	return true
}

type columns struct {
	table schema.Table
	names []string
	known map[string][]json.RawMessage
}

// maxLess is how many columns may lean on each other; a circle is longer.
const maxLess = 4

// cells gives a column's values by row, nil for a row that has none.
func (c *columns) cells(path string, deep int) ([]json.RawMessage, error) {
	if known, ok := c.known[path]; ok {
		return known, nil
	}
	column, ok := c.table.Columns[path]
	if !ok || deep > maxLess {
		return nil, &Error{WrongColumn, path}
	}
	cells, err := c.own(path, column, deep)
	if err == nil && len(cells) != c.table.Rows {
		err = &Error{ShortColumn, path}
	}
	if err == nil && column.Less != "" {
		cells, err = c.plus(path, cells, column.Less, deep)
	}
	if err != nil {
		return nil, err
	}
	c.known[path] = cells
	return cells, nil
}

// own gives a column's values as they stand in it.
func (c *columns) own(path string, column schema.Column, deep int) ([]json.RawMessage, error) {
	wrong := &Error{WrongColumn, path}
	forms := 0
	for _, has := range []bool{column.All != nil, column.Values != nil, column.Names != nil, column.Steps != nil, column.As != ""} {
		if has {
			forms++
		}
	}
	if forms != 1 {
		return nil, wrong
	}
	var cells []json.RawMessage
	sum := int64(0)
	for _, step := range column.Steps {
		if sum += step; step < -most || most < step || sum < -most || most < sum {
			return nil, wrong
		}
		cells = append(cells, number(sum))
	}
	for _, place := range column.Names {
		switch {
		case place == nil:
			cells = append(cells, nil)
		case *place < 0 || *place >= len(c.names):
			return nil, wrong
		default:
			text, _ := json.Marshal(c.names[*place])
			cells = append(cells, text)
		}
	}
	for _, value := range column.Values {
		if string(value) == "null" {
			value = nil
		}
		cells = append(cells, value)
	}
	switch {
	case column.As != "":
		return c.cells(column.As, deep+1)
	case column.All != nil && string(column.All) != "null":
		cells = slices.Repeat([]json.RawMessage{column.All}, c.table.Rows)
	}
	return cells, nil
}

func (c *columns) plus(path string, cells []json.RawMessage, less string, deep int) ([]json.RawMessage, error) {
	others, err := c.cells(less, deep+1)
	if err != nil {
		return nil, err
	}
	out := make([]json.RawMessage, len(cells))
	for i, cell := range cells {
		if cell == nil {
			continue
		}
		a, err := strconv.ParseInt(string(cell), 10, 64)
		b, also := strconv.ParseInt(string(others[i]), 10, 64)
		if err != nil || also != nil || a < -most || most < a || b < -most || most < b || a+b < -most || most < a+b {
			return nil, &Error{WrongColumn, path}
		}
		out[i] = number(a + b)
	}
	return out, nil
}

func number(n int64) json.RawMessage { return strconv.AppendInt(nil, n, 10) }
