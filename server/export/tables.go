package export

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/view"
)

// PotsTable is the name of the table of every pot; every other is named for a kind of thing that people describe.
const PotsTable = "pots"

// TableNames are the tables that can be fetched by themselves.
func TableNames() []string {
	names := []string{PotsTable}
	for _, kind := range registers() {
		names = append(names, kind.Name)
	}
	return names
}

// TableCSV writes the table of a kind as it is now, as CSV (RFC 4180). The name is one of TableNames, but not PotsTable.
func TableCSV(ctx context.Context, from Journal, name string, to io.Writer) error {
	kind, _ := schema.KindOf(name)
	return from.Read(ctx, func(snap *journal.Snapshot) error { return writeRegister(snap, kind, to) })
}

func writeRegister(snap *journal.Snapshot, kind schema.Kind, to io.Writer) error {
	columns, t := ownFields(kind), csv.NewWriter(to)
	t.UseCRLF = true
	if err := t.Write(registerColumns(columns)); err != nil {
		return err
	}
	err := eachRegister(snap, kind, func(r *schema.Register, apart []string) error {
		cells := []string{r.Of}
		for _, column := range columns {
			cells = append(cells, cellOf(r.Fields[column].Value))
		}
		return t.Write(append(cells, strings.Join(apart, " ")))
	})
	t.Flush()
	return errors.Join(err, t.Error())
}

// eachRegister calls f for each thing of a kind, with the fields for which people wrote different values.
func eachRegister(snap *journal.Snapshot, kind schema.Kind, f func(r *schema.Register, apart []string) error) error {
	columns := ownFields(kind)
	return snap.OfKind(kind.Name, func(r schema.Record) error {
		if r.Register == nil {
			return nil
		}
		var apart []string
		for _, column := range columns {
			if len(r.Register.Fields[column].Others) > 0 {
				apart = append(apart, column)
			}
		}
		return f(r.Register, apart)
	})
}

// TableJSON writes the same table as an array of objects: the values as they were written, "id", and "apart", the
// fields for which people wrote different values.
func TableJSON(ctx context.Context, from Journal, name string, to io.Writer) error {
	kind, _ := schema.KindOf(name)
	rows := []map[string]any{}
	err := from.Read(ctx, func(snap *journal.Snapshot) error {
		return eachRegister(snap, kind, func(r *schema.Register, apart []string) error {
			row := map[string]any{"id": r.Of}
			for column, field := range r.Fields {
				row[column] = field.Value
			}
			if len(apart) > 0 {
				row["apart"] = apart
			}
			rows = append(rows, row)
			return nil
		})
	})
	if err != nil {
		return err
	}
	return json.NewEncoder(to).Encode(rows)
}

// pot is a pot as JSON has it: names beside the observation as it was written.
type pot struct {
	Pot      string             `json:"pot"`
	SeenAt   string             `json:"seen_at"`
	House    string             `json:"house"`
	Bed      string             `json:"bed"`
	Lot      string             `json:"lot"`
	Scout    string             `json:"scout"`
	Versions int                `json:"versions"`
	Voided   *schema.Voided     `json:"voided,omitempty"`
	Now      schema.Observation `json:"now"`
}

// PotJSON is a pot's row as a JSON object.
func PotJSON(r view.PotRow) ([]byte, error) {
	return json.Marshal(pot{r.ID, r.Seen.Format(time.RFC3339), r.House, r.Bed, r.LotTag, r.Scout, r.Pot.Versions, r.Pot.Voided, r.Pot.Now})
}

// Notes writes every note exactly, as JSON lines; page is called after each page.
func Notes(ctx context.Context, from Journal, to io.Writer, page func() error) error {
	var head int64
	if err := from.Read(ctx, func(snap *journal.Snapshot) error { head = snap.Head; return nil }); err != nil {
		return err
	}
	lines := jsonLines(to)
	return eachPage(ctx, from, head, func(all []journal.Placed, _ []schema.Entry) error {
		for _, one := range all {
			if err := lines.Encode(one); err != nil {
				return err
			}
		}
		return page()
	})
}
