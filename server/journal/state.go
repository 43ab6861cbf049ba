package journal

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"unicode/utf8"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// stateTables are those that an export has beside the notes, in the order in which they are written again. Not in it are devices, tokens
// and keys, which are secrets, and what is made again from the notes.
var stateTables = []string{"registers", "writers", "epochs", "quarantine", "awaited", "closed_lots", "closed_before", "meta"}

// stateMeta are the settings that go with the journal, madeAgain those of them that come of writing the notes again.
var (
	stateMeta = []string{metaClock, metaClockWas, metaClockFirst, metaOwnDevice, metaProvenLost, metaOrder, metaFold}
	madeAgain = []string{metaOrder, metaFold}
)

// StateRow is one row of what a journal has beside its notes. A value is a number, a text, null, or for bytes {"text": ...} where they are one
// and {"bytes": ...} in base64 where they are not.
type StateRow struct {
	Table string         `json:"table"`
	Row   map[string]any `json:"row"`
}

// Placed is a note as the journal has it: its bytes, its place, and when it came (ms since 1970). By is its number in its writer's
// chain where that is another than the note names itself, as of one that another phone handed back.
type Placed struct {
	Entry      json.RawMessage `json:"entry"`
	Stamp      schema.Stamp    `json:"stamp"`
	Position   int64           `json:"position"`
	ReceivedAt int64           `json:"received_at"`
	By         *ChainPlace     `json:"by,omitempty"`
}

// ChainPlace is a number in the chain of a writer.
type ChainPlace struct {
	Device      string `json:"device"`
	Incarnation int    `json:"inc"`
	Seq         int64  `json:"seq"`
}

// PlacedAfter is a page of the journal: the notes after a position and up to another. One that can no longer be read is left out.
func (s *Snapshot) PlacedAfter(after, upTo int64) ([]Placed, []schema.Entry, error) {
	var all []Placed
	var entries []schema.Entry
	for row, err := range s.snap.Rows(after, upTo) {
		if err != nil {
			return nil, nil, err
		}
		entry, err := journal.Parse(row.Bytes)
		if err != nil || row.By.Device == "" {
			// Damaged, which verify tells.
			continue
		}
		one := Placed{Entry: bytes.Clone(row.Bytes), Stamp: row.Stamp, Position: row.Position, ReceivedAt: row.ReceivedAt}
		if row.By != placeOf(entry) {
			one.By = &row.By
		}
		all, entries = append(all, one), append(entries, entry)
	}
	return all, entries, nil
}

func placeOf(e schema.Entry) ChainPlace { return ChainPlace{e.Device, e.Incarnation, e.Seq} }

// State visits what the journal has beside its notes.
func (s *Snapshot) State(visit func(StateRow) error) error {
	return s.snap.State(stateTables, func(one StateRow) error {
		if one.Table == "meta" && !isSetting(one, stateMeta) {
			return nil
		}
		return visit(one)
	})
}

// RowOf is a row as a store reads it, whose values are whole numbers, texts, bytes and nil. Bytes that are text are written as text.
func RowOf(table string, columns []string, values []any) StateRow {
	row := map[string]any{}
	for i, column := range columns {
		row[column] = values[i]
		if raw, ok := values[i].([]byte); ok && utf8.Valid(raw) {
			row[column] = map[string]any{"text": string(raw)}
		} else if ok {
			row[column] = map[string]any{"bytes": raw}
		}
	}
	return StateRow{Table: table, Row: row}
}

// Value reads one value of a row back as it was written.
func (r StateRow) Value(column string) (any, error) {
	value, there := r.Row[column]
	switch v := value.(type) {
	case nil:
		if there {
			return nil, nil
		}
	case int64:
		return v, nil
	case json.Number:
		return v.Int64()
	case string:
		return v, nil
	case map[string]any:
		if text, ok := v["text"].(string); ok {
			return []byte(text), nil
		}
		if raw, ok := v["bytes"].([]byte); ok {
			return raw, nil
		}
		if text, ok := v["bytes"].(string); ok {
			return base64.StdEncoding.DecodeString(text)
		}
	}
	return nil, fmt.Errorf("%v is no value", value)
}
