package lite

import (
	"database/sql"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// Reports is journal.Phones'.
func (s snap) Reports() (map[string]journal.Report, error) {
	return byKey(s.tx, func(rows *sql.Rows) (device string, r journal.Report, err error) {
		err = rows.Scan(&r.Device, &r.At, &r.Pending, &r.Photos, &r.SkewMS, &r.Equal, &r.EqualTo, &r.EqualAt, &r.Entries)
		return r.Device, r, err
	}, `select r.device, at, pending, photos, skew_ms, equal, equal_to, equal_at,
		(select coalesce(sum(high), 0) from writers w where w.device = r.device) from reports r`)
}

// ReportOf is journal.Phones'.
func (s snap) ReportOf(device string) (r journal.Report, found bool, err error) {
	err = s.tx.QueryRow("select device, at, pending, photos, skew_ms, equal, equal_to, equal_at from reports where device = ?", device).
		Scan(&r.Device, &r.At, &r.Pending, &r.Photos, &r.SkewMS, &r.Equal, &r.EqualTo, &r.EqualAt)
	return r, err == nil, ignoreNone(err)
}

// PutReport is journal.Tx's.
func (t *tx) PutReport(r journal.Report) error {
	return t.exec(`insert into reports values (?, ?, ?, ?, ?, ?, ?, ?)
		on conflict (device) do update set at = excluded.at, pending = excluded.pending, photos = excluded.photos,
		skew_ms = excluded.skew_ms, equal = excluded.equal, equal_to = excluded.equal_to, equal_at = excluded.equal_at`,
		r.Device, r.At, r.Pending, r.Photos, r.SkewMS, r.Equal, r.EqualTo, r.EqualAt)
}

// Incidents is journal.Phones'.
func (s snap) Incidents(limit int) (some []schema.Incident, count int, err error) {
	if err := s.tx.QueryRow("select count(*) from incidents where seen_at = 0").Scan(&count); err != nil {
		return nil, 0, err
	}
	some, err = all(s.tx, func(rows *sql.Rows) (one schema.Incident, err error) {
		err = rows.Scan(&one.FirstAt, &one.At, &one.Count, &one.Device, &one.Code, &one.Detail, &one.OverAt)
		return one, err
	}, `select first_at, at, count, device, code, detail, over_at from incidents where seen_at = 0
		order by over_at > 0, at desc, device, code limit ?`, limit)
	return some, count, err
}

// PutIncident is journal.Tx's.
func (t *tx) PutIncident(device, code, detail string, at int64) error {
	return t.exec(`insert into incidents (device, code, first_at, at, count, detail) values (?1, ?2, ?3, ?3, 1, ?4)
		on conflict (device, code) do update set at = excluded.at, detail = excluded.detail, over_at = 0, seen_at = 0, seen_by = '',
		first_at = iif(seen_at > 0, excluded.at, first_at), count = iif(seen_at > 0, 1, count + 1)`, device, code, at, detail)
}

// EndIncident is journal.Tx's.
func (t *tx) EndIncident(device, code string, at int64) error {
	return t.exec("update incidents set over_at = ? where device = ? and code = ? and over_at = 0", at, device, code)
}

// SeeIncident is journal.Tx's.
func (t *tx) SeeIncident(device, code string, upTo, at int64, by string) (bool, error) {
	return touched(t.tx.Exec("update incidents set seen_at = ?, seen_by = ? where device = ? and code = ? and at <= ? and seen_at = 0", at, by, device, code, upTo))
}

// ScoresAt is journal.Scores'.
func (s snap) ScoresAt(measures string) (head int64, found bool, err error) {
	err = s.tx.QueryRow("select head from scores_at where measures = ?", measures).Scan(&head)
	return head, err == nil, ignoreNone(err)
}

// Scores is journal.Scores'.
func (s snap) Scores(visit func(bed string, json []byte) error) error {
	rows, err := s.tx.Query("select bed, json from bed_scores order by bed")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var bed string
		var json []byte
		if err := rows.Scan(&bed, &json); err != nil {
			return err
		}
		if err := visit(bed, json); err != nil {
			return err
		}
	}
	return rows.Err()
}

// PutScores is journal.Tx's.
func (t *tx) PutScores(byBed map[string][]byte) error {
	for bed, json := range byBed {
		if err := t.exec("insert into bed_scores values (?, ?) on conflict (bed) do update set json = excluded.json", bed, json); err != nil {
			return err
		}
	}
	return nil
}

// MarkScores is journal.Tx's.
func (t *tx) MarkScores(measures string, head int64) error {
	if err := t.exec("delete from scores_at where measures <> ?", measures); err != nil {
		return err
	}
	return t.exec("insert into scores_at values (?, ?) on conflict (measures) do update set head = excluded.head", measures, head)
}

// ForgetScores is journal.Tx's.
func (t *tx) ForgetScores() error {
	if err := t.exec("delete from scores_at"); err != nil {
		return err
	}
	return t.exec("delete from bed_scores")
}
