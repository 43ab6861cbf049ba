package pg

import (
	"encoding/json"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

func scanArrived(rows pgx.Rows) (a journal.Arrived, err error) {
	var faults string
	if err := rows.Scan(append([]any{&a.N, &a.ID, &a.Seq, &a.State, &faults}, lineInto(&a.Line)...)...); err != nil {
		return a, err
	}
	return a, json.Unmarshal([]byte(faults), &a.Faults)
}

// Taken is journal.Notes'.
func (s snap) Taken(writer, first, last int64) ([]journal.Arrived, error) {
	return all(s, scanArrived, `select 0::bigint, '', seq, 'merged', '[]', position, at, quality, at_from, at_to, bytes from notes where writer = $1 and seq between $2 and $3
		union all
		select n, '', seq, state, faults, position, at, quality, at_from, at_to, bytes from quarantine where writer = $1 and seq between $2 and $3
		order by 3, 6`, writer, first, last)
}

// Known is journal.Notes'.
func (s snap) Known(ids []string) ([]journal.Arrived, error) {
	raw := make([][]byte, len(ids))
	for i, id := range ids {
		raw[i] = rawID(id)
	}
	return all(s, scanArrived, `select 0::bigint, j.id, e.seq, 'merged', '[]', e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes
			from unnest($1::text[], $2::bytea[]) j(id, raw) cross join lateral (select * from notes where id = j.raw offset 0) e
		union all
		select w.n, j.id, w.seq, w.state, w.faults, w.position, w.at, w.quality, w.at_from, w.at_to, w.bytes
			from unnest($1::text[]) j(id) cross join lateral (select * from quarantine where id_begins = left(j.id, 200) and id = j.id and state in ('quarantined', 'review', 'left') offset 0) w`, ids, raw)
}

// Held is journal.Notes'.
func (s snap) Held(id string, raw []byte) (journal.Arrived, bool, error) {
	return first(all(s, scanArrived, `select 0::bigint, '', seq, 'merged', '[]', position, at, quality, at_from, at_to, bytes from notes where id = $3
		union all
		select n, id, seq, state, faults, 0::bigint, at, quality, at_from, at_to, bytes from quarantine where id_begins = left($1, 200) and id = $1 and (id <> '' or bytes = $2) limit 1`, id, raw, rawID(id)))
}
