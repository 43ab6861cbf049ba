package pg

import (
	"encoding/hex"
	"encoding/json"

	"bedwalk/server/journal"
)

// rows are what a push has hundreds of, column by column: they go with one statement a table, which is planned and started once and not for each row.
type rows struct {
	notes   noteRows
	parts   partRows
	records recordRows
}

type noteRows struct {
	position, writer, seq, lot, at, from, to, receivedAt []int64
	id, walk, bytes                                      [][]byte
	quality, kind, person                                []string
}

type partRows struct {
	key      []string
	position []int64
}

type recordRows struct {
	key               []string
	lot, bed, changed []int64
	json              [][]byte
	// at is where a key stands: a statement changes a row once.
	at map[string]int
}

func (r *rows) len() int { return len(r.notes.id) + len(r.parts.key) + len(r.records.key) }

// gathered flushes where many rows wait.
func (t *tx) gathered() error {
	if t.rows.len() >= mostWaiting {
		return t.flush()
	}
	return nil
}

// queueRows puts the statements of gathered rows behind those that wait.
func (t *tx) queueRows() {
	all := t.rows
	t.rows = rows{}
	if n := all.notes; len(n.id) > 0 {
		t.send(`insert into notes (position, id, writer, seq, lot, at, quality, at_from, at_to, received_at, kind, walk, person, bytes)
			select * from unnest($1::bigint[], $2::bytea[], $3::bigint[], $4::bigint[], $5::bigint[], $6::bigint[], $7::text[], $8::bigint[], $9::bigint[], $10::bigint[],
				$11::text[], $12::bytea[], $13::text[], $14::bytea[])`,
			n.position, n.id, n.writer, n.seq, n.lot, n.at, n.quality, n.from, n.to, n.receivedAt, n.kind, n.walk, n.person, n.bytes)
	}
	if p := all.parts; len(p.key) > 0 {
		t.send("insert into entry_keys (key, position) select * from unnest($1::text[], $2::bigint[]) on conflict do nothing", p.key, p.position)
	}
	if r := all.records; len(r.key) > 0 {
		// A record that is there keeps its number; new ones are numbered in their order after the highest.
		t.send(`insert into records (n, key, lot, bed, changed, json)
			select coalesce(h.n, (select coalesce(max(n), 0) from records) + count(*) filter (where h.n is null) over (order by j.i)), j.key, j.lot, j.bed, j.changed, j.json
			from unnest($1::text[], $2::bigint[], $3::bigint[], $4::bigint[], $5::bytea[]) with ordinality j(key, lot, bed, changed, json, i)
			left join lateral (select n from records where key = j.key offset 0) h on true order by j.i
			on conflict (site, key) do update set lot = excluded.lot, bed = excluded.bed, changed = excluded.changed, json = excluded.json`,
			r.key, r.lot, r.bed, r.changed, r.json)
	}
}

// PutNote is journal.Tx's.
func (t *tx) PutNote(n journal.NewNote) error {
	e, st := n.Entry, n.Stamp
	id, err := hex.DecodeString(e.ID)
	if err != nil {
		return err
	}
	// As in a file, where a note's bytes name its bed by its number.
	if _, err := t.Register(e.Bed); err != nil {
		return err
	}
	walk, person := []byte{}, ""
	if e.Kind == "observation" {
		var body struct{ Walk string }
		if err := json.Unmarshal(e.Body, &body); err == nil && len(body.Walk) == 2*walkBytes && rawID(body.Walk) != nil {
			walk, person = rawID(body.Walk), e.Person
		}
	}
	to := &t.rows.notes
	to.position, to.id, to.writer, to.seq, to.lot = append(to.position, n.Position), append(to.id, id), append(to.writer, n.Writer), append(to.seq, n.Seq), append(to.lot, n.Lot)
	to.at, to.from, to.to, to.quality = append(to.at, st.At), append(to.from, st.From), append(to.to, st.To), append(to.quality, string(st.Quality))
	to.receivedAt, to.kind, to.walk, to.person = append(to.receivedAt, n.ReceivedAt), append(to.kind, e.Kind), append(to.walk, walk), append(to.person, person)
	to.bytes = append(to.bytes, n.Raw)
	return t.gathered()
}

// walkBytes is how long the id of a walk is.
const walkBytes = 16

// PutPart is journal.Tx's.
func (t *tx) PutPart(key string, position int64) error {
	to := &t.rows.parts
	to.key, to.position = append(to.key, key), append(to.position, position)
	return t.gathered()
}

// PutRecord is journal.Tx's.
func (t *tx) PutRecord(r journal.NewRecord) error {
	to := &t.rows.records
	at, again := to.at[r.Key]
	if !again {
		if to.at == nil {
			to.at = map[string]int{}
		}
		at = len(to.key)
		to.at[r.Key] = at
		to.key, to.lot, to.bed, to.changed, to.json = append(to.key, r.Key), append(to.lot, 0), append(to.bed, 0), append(to.changed, 0), append(to.json, nil)
	}
	to.lot[at], to.bed[at], to.changed[at], to.json[at] = r.Lot, r.Bed, r.Changed, r.Text
	return t.gathered()
}
