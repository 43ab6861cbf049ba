package journal

import (
	"context"
	"database/sql"
	"fmt"

	"bedwalk/server/db"
	"bedwalk/sync/journal"
)

// verifyPlaces holds each row of the journal against its entry: the id and the lot that it is filed under, its place, and
// the records that it is listed with.
func verifyPlaces(tx *sql.Tx, v *Verified) error {
	listed, err := keysListed(tx)
	if err != nil {
		return err
	}
	known, err := learnedIn(tx)
	if err != nil {
		return err
	}
	marks, end, err := marksIn(tx)
	if err != nil {
		return err
	}
	// Not yet hashed is a journal of an older build, until the first push.
	hashed := end != "" || len(marks) > 0
	o, lastSound, told := order{known: true}, int64(0), false
	stray := func(position int64) {
		if hashed && !told {
			told = true
			v.complain("the order of the journal was changed, or a stamp or time in it: somewhere between positions %d and %d an entry does not stand "+
				"where it was put", lastSound+1, position)
		}
	}
	err = eachPlaced(context.Background(), tx, func(e placed) error {
		if e.position != o.position+1 {
			v.complain("the journal has no entry at position %d", o.position+1)
		}
		o = o.next(e.position, e.writer, e.seq, e.receivedAt, journal.Hash(e.raw, e.stamp))
		if mark, ok := marks[e.position]; ok || e.position%markEvery == 0 {
			if string(o.hash[:]) != mark {
				stray(e.position)
			}
			lastSound = e.position
			delete(marks, e.position)
		}
		if e.raw == nil {
			v.complain("entry %d cannot be put together: its row was changed, or what the row names", e.position)
		}
		entry, err := journal.Parse(e.raw)
		if err != nil {
			// The chain and the records tell of it.
			return nil
		}
		if entry.ID != e.id {
			v.complain("entry %d stands under the id %s, but its own is %s", e.position, e.id, entry.ID)
		}
		if entry.Lot != e.lot {
			v.complain("entry %d is filed under the lot %q, but it is of %q", e.position, e.lot, entry.Lot)
		}
		keys := known.keys(entry, e.position)
		v.left.entry(entry, keys, e.position)
		for _, key := range keys {
			at := keyAt{key, e.position}
			if !named(key, entry.ID) && !listed[at] {
				v.complain("entry %d is not listed with record %s, which it has a part in", e.position, key)
			}
			if !named(key, entry.ID) {
				delete(listed, at)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if o.position > 0 && o.String() != end {
		stray(o.position)
	}
	for at := range listed {
		v.complain("entry %d is listed with record %s, which it has no part in", at.position, at.key)
	}
	if hashed {
		for position := range marks {
			v.complain("the journal ends before position %d, where it once was", position)
		}
	}
	return nil
}

// keyAt is one row of entry_keys.
type keyAt struct {
	key      string
	position int64
}

func keysListed(tx *sql.Tx) (map[keyAt]bool, error) {
	rows, err := tx.Query("select key, position from entry_keys")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[keyAt]bool{}
	for rows.Next() {
		var at keyAt
		if err := rows.Scan(&at.key, &at.position); err != nil {
			return nil, err
		}
		all[at] = true
	}
	return all, rows.Err()
}

// marksIn are the marks of the running hash, and its end as meta has it.
func marksIn(tx *sql.Tx) (marks map[int64]string, end string, err error) {
	marks = map[int64]string{}
	if have, err := hasTable(tx, "marks"); err != nil || !have {
		return marks, "", err
	}
	rows, err := tx.Query("select position, hash from marks")
	if err != nil {
		return nil, "", err
	}
	defer rows.Close()
	for rows.Next() {
		var position int64
		var hash []byte
		if err := rows.Scan(&position, &hash); err != nil {
			return nil, "", err
		}
		marks[position] = string(hash)
	}
	if err := rows.Err(); err != nil {
		return nil, "", err
	}
	end, err = meta(tx, metaOrder)
	return marks, end, err
}

func hasTable(tx *sql.Tx, name string) (have bool, err error) {
	err = tx.QueryRow("select count(*) > 0 from sqlite_schema where type = 'table' and name = ?", name).Scan(&have)
	return have, err
}

// tablesHold says what each small table holds, for who reads a complaint.
var tablesHold = map[string]string{
	"devices": "a paired phone: its person, its role, whether it was revoked", "device_people": "in whose names a phone may write",
	"epochs": "an epoch of the journal", "incidents": "trouble that was noticed",
	"marks": "a mark of the journal's order", "meta": "a setting: the clock's last time, what is backed up, keys", "pairings": "a pairing code",
	"reports": "what a phone last reported of itself", "registers": "the number of a lot or bed", "quarantine": "a note in quarantine",
	"awaited": "what a note in quarantine waits for", "writers": "where a phone's chain of notes ends",
}

// verifySeals compares the rows of the small tables with their seals.
func verifySeals(tx *sql.Tx, v *Verified) error {
	_, err := db.CheckSeals(context.Background(), tx, func(table, key, wrong string) {
		what := tablesHold[table]
		if what != "" {
			what = fmt.Sprintf(" (%s)", what)
		}
		v.complain("table %s: row %q%s %s by another hand than Bedwalk's", table, key, what, wrong)
	})
	return err
}

// verifyNumbers is complained of where a row names a lot or bed that has no number, or a sum is none: by itself such a row
// would pass for one of no lot.
func verifyNumbers(tx *sql.Tx, v *Verified) error {
	sums := ""
	if have, err := hasTable(tx, "record_sums"); err != nil {
		return err
	} else if have {
		sums = ` union all
		select 'the sum of records numbered ' || lot from record_sums where length(sum) <> 16 or lot <> 0 and lot not in (select n from registers)`
	}
	rows, err := tx.Query(`select 'record ' || key from records where lot <> 0 and lot not in (select n from registers) or bed <> 0 and bed not in (select n from registers)
		union all
		select 'the digest numbered ' || lot from digests where length(sum) <> 16 or lot <> 0 and lot not in (select n from registers)` + sums)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var what string
		if err := rows.Scan(&what); err != nil {
			return err
		}
		v.complain("%s is filed under a lot or bed that is not there, or is no sum", what)
	}
	return rows.Err()
}

// verifyClock is complained of when something came later than the last time that the server says it has given, or had
// given while its clock was ahead.
func verifyClock(tx *sql.Tx, v *Verified) error {
	var late sql.NullInt64
	if err := tx.QueryRow(`select max(at) from (select max(received_at) as at from entries union all select max(at) from entries
		union all select max(received_at) from quarantine) where at > (select max(cast(value as integer)) from meta where name in (?, ?))`, metaClock, metaClockWas).Scan(&late); err != nil {
		return err
	}
	if late.Valid {
		v.complain("the server's last time is earlier than %d, at which something came", late.Int64)
	}
	return nil
}
