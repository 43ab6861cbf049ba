package journal

import (
	"database/sql"
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

// StateRow is one row of what a journal has beside its notes. A value is a number, a text, or for bytes {"text": ...} where they are one
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
	rows, err := s.tx.Query(`select e.position, e.at, e.quality, e.at_from, e.at_to, e.received_at, w.device, w.inc, e.seq, e.bytes
		from entries e join writers w on w.n = e.writer where e.position > ? and e.position <= ? order by e.position`, after, upTo)
	if err != nil {
		return nil, nil, err
	}
	defer rows.Close()
	var all []Placed
	var entries []schema.Entry
	for rows.Next() {
		var one Placed
		var by ChainPlace
		var raw []byte
		st := &one.Stamp
		if err := rows.Scan(&one.Position, &st.At, &st.Quality, &st.From, &st.To, &one.ReceivedAt, &by.Device, &by.Incarnation, &by.Seq, &raw); err != nil {
			return nil, nil, err
		}
		one.Entry = raw
		entry, err := journal.Parse(raw)
		if err != nil {
			// Damaged in the file, which verify tells.
			continue
		}
		if by != placeOf(entry) {
			one.By = &by
		}
		all, entries = append(all, one), append(entries, entry)
	}
	return all, entries, rows.Err()
}

func placeOf(e schema.Entry) ChainPlace { return ChainPlace{e.Device, e.Incarnation, e.Seq} }

// State visits what the journal has beside its notes.
func (s *Snapshot) State(visit func(StateRow) error) error {
	for _, table := range stateTables {
		rows, err := s.tx.Query("select * from " + table + " order by 1, 2")
		if err != nil {
			return err
		}
		if err := eachRow(rows, func(row map[string]any) error {
			one := StateRow{table, row}
			if table == "meta" && !isSetting(one, stateMeta) {
				return nil
			}
			return visit(one)
		}); err != nil {
			return fmt.Errorf("read table %s: %w", table, err)
		}
	}
	return nil
}

func eachRow(rows *sql.Rows, visit func(map[string]any) error) error {
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return err
	}
	values, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range values {
		into[i] = &values[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		row := map[string]any{}
		for i, column := range columns {
			row[column] = values[i]
			if raw, ok := values[i].([]byte); ok && utf8.Valid(raw) {
				row[column] = map[string]any{"text": string(raw)}
			} else if ok {
				row[column] = map[string]any{"bytes": raw}
			}
		}
		if err := visit(row); err != nil {
			return err
		}
	}
	return rows.Err()
}
