package journal

import (
	"context"
	"database/sql"
	"errors"
	"net/http"
	"strings"

	"bedwalk/schema"
)

// ErrNoSuchIncident says that an incident cannot be put away.
var ErrNoSuchIncident = schema.NewProblem(http.StatusNotFound, "no_such_incident", "This trouble is put away already, or it has come back since.",
	"Load the page again.")

// maxDetail bounds an incident's detail, in characters: what a device sends must not fill the page of the phones.
const maxDetail = 500

// File keeps an incident for the supervisor to see. There is one for each device and code, with a count: the newest
// detail stands for all, and one that was over or put away is open again.
func (s *Store) File(ctx context.Context, device, code, detail string) error {
	return s.db.Write(ctx, func(tx *sql.Tx) error { return fileIncident(tx, s.NowMS(), device, code, detail) })
}

// Over closes an incident that has ended by itself; one that is not open is left as it is.
func (s *Store) Over(ctx context.Context, device, code string) error {
	return s.db.Write(ctx, func(tx *sql.Tx) error { return endIncident(tx, s.NowMS(), device, code) })
}

func (b *batch) file(device, code, detail string) error {
	return fileIncident(b.tx, b.now, device, code, detail)
}

func fileIncident(tx *sql.Tx, now int64, device, code, detail string) error {
	// Counting begins anew once a supervisor has put it away, and goes on when it was merely over for a while.
	_, err := tx.Exec(`insert into incidents (device, code, first_at, at, count, detail) values (?1, ?2, ?3, ?3, 1, ?4)
		on conflict (device, code) do update set at = excluded.at, detail = excluded.detail, over_at = 0, seen_at = 0, seen_by = '',
		first_at = iif(seen_at > 0, excluded.at, first_at), count = iif(seen_at > 0, 1, count + 1)`,
		device, code, now, shorten(detail, maxDetail))
	return err
}

func endIncident(tx *sql.Tx, now int64, device, code string) error {
	_, err := tx.Exec("update incidents set over_at = ? where device = ? and code = ? and over_at = 0", now, device, code)
	return err
}

// Seen puts an incident away as it stood at a time, on a person's word. ErrNoSuchIncident is the answer where it has
// come back since, so that nobody puts away what they have not read.
func (s *Store) Seen(ctx context.Context, seen schema.IncidentSeen, person string) error {
	return s.db.Write(ctx, func(tx *sql.Tx) error {
		result, err := tx.Exec("update incidents set seen_at = ?, seen_by = ? where device = ? and code = ? and at <= ? and seen_at = 0",
			s.NowMS(), person, seen.Device, seen.Code, seen.At)
		if err != nil {
			return err
		}
		if changed, err := result.RowsAffected(); err != nil || changed == 0 {
			return errors.Join(err, ErrNoSuchIncident)
		}
		return nil
	})
}

// Incidents are those that nobody has put away, open ones first and then by their last time, newest first, at most limit;
// all is how many there are.
func (s *Store) Incidents(ctx context.Context, limit int) (some []schema.Incident, all int, err error) {
	some = []schema.Incident{}
	err = s.db.Read(ctx, func(tx *sql.Tx) error {
		if err := tx.QueryRow("select count(*) from incidents where seen_at = 0").Scan(&all); err != nil {
			return err
		}
		rows, err := tx.Query(`select first_at, at, count, device, code, detail, over_at from incidents where seen_at = 0
			order by over_at > 0, at desc, device, code limit ?`, limit)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var one schema.Incident
			if err := rows.Scan(&one.FirstAt, &one.At, &one.Count, &one.Device, &one.Code, &one.Detail, &one.OverAt); err != nil {
				return err
			}
			some = append(some, one)
		}
		return rows.Err()
	})
	return some, all, err
}

// shorten is a text of at most so many characters, whatever bytes it is made of.
func shorten(text string, most int) string {
	text = strings.ToValidUTF8(text, "�")
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most-1]) + "…"
	}
	return text
}
