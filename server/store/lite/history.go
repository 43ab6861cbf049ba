package lite

import (
	"database/sql"
	"slices"
	"strings"

	"bedwalk/server/journal"
)

// pots are the shapes of the notes that are folded into a line of their walk.
const pots = `with pots as (select n from shapes where instr(shape, '"kind":"observation"') > 0)`

// History is journal.Notes'. The bytes of those alone that are given are put together.
func (s snap) History(lot string, before journal.HistoryPlace, limit int) ([]journal.HistoryRow, error) {
	places, err := all(s.tx, scanPlace, pots+`, noted as (
			select position, at, iif(walk <> 0 and shape in (select n from pots), walk, 0) as walk from notes where lot = (select n from registers where id = ?)),
		lines as (select position, at, walk, row_number() over (partition by iif(walk = 0, -position, walk) order by at desc, position desc) as place from noted)
		select position, walk from lines where place = 1 and (at, position) < (?, ?) order by at desc, position desc limit ?`,
		lot, before.At, before.Position, limit)
	if err != nil {
		return nil, err
	}
	var positions, walks []int64
	for _, one := range places {
		positions = append(positions, one.position)
		if one.walk != 0 {
			walks = append(walks, one.walk)
		}
	}
	noted, err := s.notedOn(lot, walks)
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
		rows = append(rows, journal.HistoryRow{Line: at[one.position], Noted: noted[one.walk]})
	}
	return rows, nil
}

// place is a line of a history, and the number of its walk among names, 0 for a note that stands alone.
type place struct{ position, walk int64 }

func scanPlace(rows *sql.Rows) (p place, err error) {
	err = rows.Scan(&p.position, &p.walk)
	return p, err
}

// notedOn gives of each walk, by its number among names, what it noted of a lot.
func (s snap) notedOn(lot string, walks []int64) (map[int64]journal.Noted, error) {
	numbers, err := list(walks)
	if err != nil {
		return nil, err
	}
	return byKey(s.tx, scanNoted, pots+` select e.walk, lower(hex((select m.id from names m where m.n = e.walk))), count(*), min(e.at),
			group_concat(distinct (select m.id from names m where m.n = e.sitting))
		from notes e where e.lot = (select n from registers where id = ?) and e.walk in (select value from json_each(?)) and e.shape in (select n from pots)
		group by e.walk`, lot, numbers)
}

func scanNoted(rows *sql.Rows) (walk int64, noted journal.Noted, err error) {
	var sittings string
	err = rows.Scan(&walk, &noted.Walk, &noted.Pots, &noted.Since, &sittings)
	noted.People = peopleOf(sittings)
	return walk, noted, err
}

// peopleOf reads the people, each once, out of sittings ("INCARNATION DEVICE PERSON SESSION") with commas between them.
func peopleOf(sittings string) (people []string) {
	for _, sitting := range strings.Split(sittings, ",") {
		if person := personOf(sitting); person != "" && !slices.Contains(people, person) {
			people = append(people, person)
		}
	}
	return people
}

// personOf is the person of one sitting, "" where it is none.
func personOf(sitting string) string {
	if parts := strings.Fields(sitting); len(parts) == 4 {
		return parts[2]
	}
	return ""
}

// HistoryOfWalk is journal.Notes'.
func (s snap) HistoryOfWalk(lot, walk string, before journal.HistoryPlace, limit int) ([]journal.Line, error) {
	return all(s.tx, scanLine, pots+" "+line+`where position in (select position from notes
		where lot = (select n from registers where id = ?) and walk = (select n from names where id = unhex(?)) and shape in (select n from pots)
		and (at, position) < (?, ?) order by at desc, position desc limit ?) order by at desc, position desc`,
		lot, walk, before.At, before.Position, limit)
}
