package schema

import "encoding/json"

// TablesVersion is the newest form of TablePage; a phone asks for the newest that it can read.
const TablesVersion = 1

// TablePage is a Pull as tables: what is alike in many entries stands once. Items has only what fits in no table, for
// example because one of its fields is null; Receipts are of all, in the order of the positions.
type TablePage struct {
	Pull
	V int `json:"v"`
	// Names are texts that stand in many cells.
	Names  []string `json:"names"`
	Tables []Table  `json:"tables"`
	// IDs are the ids of the entries, row by row and table by table: 16 bytes each, all in one text of base64url.
	IDs string `json:"ids"`
	// Hash is the first 32 hexadecimal digits of SHA-256 over one line for each item, in the order of the positions:
	// "position hash receipt\n". The hash is the entry's, of its canonical bytes and its stamp.
	Hash string `json:"hash"`
}

// Table has a row for each entry of one kind. The columns are named by the way to the value: "stamp.at",
// "entry.body.place.row".
type Table struct {
	Rows    int               `json:"rows"`
	Columns map[string]Column `json:"columns"`
}

// Column has the values of one field by row, in exactly one of its first five fields. A row without the field is null.
type Column struct {
	// All is the one value of all rows.
	All    json.RawMessage   `json:"all,omitempty"`
	Values []json.RawMessage `json:"values,omitempty"`
	// Names are places in the page's names, from 0 on.
	Names []*int `json:"names,omitempty"`
	// Steps are whole numbers, each less the one above it; the first as it is.
	Steps []int64 `json:"steps,omitempty"`
	// As is a column of the same table that has the same values.
	As string `json:"as,omitempty"`
	// Less is a column of the same table whose number was taken from each number here.
	Less string `json:"less,omitempty"`
}
