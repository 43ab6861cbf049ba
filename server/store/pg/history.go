package pg

import (
	"encoding/hex"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

// place is a line of a history, and the walk whose pots it stands for, empty for a note that stands alone.
type place struct {
	position int64
	walk     []byte
}

// History is journal.Notes'.
func (s snap) History(lot string, before journal.HistoryPlace, limit int) ([]journal.HistoryRow, error) {
	places, err := all(s, func(rows pgx.Rows) (p place, err error) {
		err = rows.Scan(&p.position, &p.walk)
		return p, err
	}, `select position, walk from (select position, at, walk,
			row_number() over (partition by walk, case when walk = '' then position end order by at desc, position desc) as place
			from notes where `+ofLot+`) lines
		where place = 1 and (at, position) < ($2, $3) order by at desc, position desc limit $4`, lot, before.At, before.Position, limit)
	if err != nil {
		return nil, err
	}
	var positions []int64
	var walks [][]byte
	for _, one := range places {
		if positions = append(positions, one.position); len(one.walk) > 0 {
			walks = append(walks, one.walk)
		}
	}
	noted, err := byKey(s, scanNoted, `select walk, count(*), min(at), array_agg(distinct person) from notes where `+ofLot+"and walk = any($2::bytea[]) group by walk", lot, walks)
	if err != nil {
		return nil, err
	}
	lines, err := s.At(positions)
	if err != nil {
		return nil, err
	}
	at := map[int64]journal.Line{}
	for _, line := range lines {
		at[line.Position] = line
	}
	var rows []journal.HistoryRow
	for _, one := range places {
		rows = append(rows, journal.HistoryRow{Line: at[one.position], Noted: noted[string(one.walk)]})
	}
	return rows, nil
}

func scanNoted(rows pgx.Rows) (walk string, noted journal.Noted, err error) {
	var raw []byte
	err = rows.Scan(&raw, &noted.Pots, &noted.Since, &noted.People)
	noted.Walk = hex.EncodeToString(raw)
	return string(raw), noted, err
}

// HistoryOfWalk is journal.Notes'.
func (s snap) HistoryOfWalk(lot, walk string, before journal.HistoryPlace, limit int) ([]journal.Line, error) {
	return s.lines("where "+ofLot+"and walk = $2 and walk <> '' and (at, position) < ($3, $4) order by at desc, position desc limit $5",
		lot, rawID(walk), before.At, before.Position, limit)
}
