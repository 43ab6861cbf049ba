package pg

import (
	"github.com/jackc/pgx/v5"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

func reportInto(r *journal.Report) []any {
	return []any{&r.Device, &r.At, &r.Pending, &r.Photos, &r.SkewMS, &r.Equal, &r.EqualTo, &r.EqualAt}
}

// Reports is journal.Phones'.
func (s snap) Reports() (map[string]journal.Report, error) {
	return byKey(s, func(rows pgx.Rows) (device string, r journal.Report, err error) {
		err = rows.Scan(append(reportInto(&r), &r.Entries)...)
		return r.Device, r, err
	}, `select r.device, at, pending, photos, skew_ms, equal, equal_to, equal_at,
		(select coalesce(sum(high), 0)::bigint from writers w where w.device = r.device) from reports r`)
}

// ReportOf is journal.Phones'.
func (s snap) ReportOf(device string) (r journal.Report, found bool, err error) {
	found, err = s.one("select device, at, pending, photos, skew_ms, equal, equal_to, equal_at from reports where device = $1", []any{device}, reportInto(&r)...)
	return r, found, err
}

// PutReport is journal.Tx's.
func (t *tx) PutReport(r journal.Report) error {
	return t.queue(`insert into reports (device, at, pending, photos, skew_ms, equal, equal_to, equal_at) values ($1, $2, $3, $4, $5, $6, $7, $8)
		on conflict (site, device) do update set at = excluded.at, pending = excluded.pending, photos = excluded.photos,
		skew_ms = excluded.skew_ms, equal = excluded.equal, equal_to = excluded.equal_to, equal_at = excluded.equal_at`,
		r.Device, r.At, r.Pending, r.Photos, r.SkewMS, r.Equal, r.EqualTo, r.EqualAt)
}

// Incidents is journal.Phones'.
func (s snap) Incidents(limit int) (some []schema.Incident, count int, err error) {
	if count, err = value[int](s, "select count(*) from incidents where seen_at = 0"); err != nil {
		return nil, 0, err
	}
	some, err = all(s, func(rows pgx.Rows) (one schema.Incident, err error) {
		err = rows.Scan(&one.FirstAt, &one.At, &one.Count, &one.Device, &one.Code, &one.Detail, &one.OverAt)
		return one, err
	}, `select first_at, at, count, device, code, detail, over_at from incidents where seen_at = 0
		order by over_at > 0, at desc, device, code limit $1`, limit)
	return some, count, err
}

// PutIncident is journal.Tx's.
func (t *tx) PutIncident(device, code, detail string, at int64) error {
	return t.queue(`insert into incidents as was (device, code, first_at, at, count, detail) values ($1, $2, $3, $3, 1, $4)
		on conflict (site, device, code) do update set at = excluded.at, detail = excluded.detail, over_at = 0, seen_at = 0, seen_by = '',
		first_at = case when was.seen_at > 0 then excluded.at else was.first_at end, count = case when was.seen_at > 0 then 1 else was.count + 1 end`,
		device, code, at, detail)
}

// EndIncident is journal.Tx's.
func (t *tx) EndIncident(device, code string, at int64) error {
	return t.queue("update incidents set over_at = $1 where device = $2 and code = $3 and over_at = 0", at, device, code)
}

// SeeIncident is journal.Tx's.
func (t *tx) SeeIncident(device, code string, upTo, at int64, by string) (bool, error) {
	rows, err := t.changed("update incidents set seen_at = $1, seen_by = $2 where device = $3 and code = $4 and at <= $5 and seen_at = 0", at, by, device, code, upTo)
	return rows > 0, err
}

// ScoresAt is journal.Scores'.
func (s snap) ScoresAt(measures string) (head int64, found bool, err error) {
	found, err = s.one("select head from scores_at where measures = $1", []any{measures}, &head)
	return head, found, err
}

// score is what was computed of a bed.
type score struct {
	bed  string
	json []byte
}

// Scores is journal.Scores'.
func (s snap) Scores(visit func(bed string, json []byte) error) error {
	for one, err := range paged(func(last *score, limit int) ([]score, error) {
		after := score{}
		if last != nil {
			after = *last
		}
		return all(s, func(rows pgx.Rows) (one score, err error) {
			err = rows.Scan(&one.bed, &one.json)
			return one, err
		}, "select bed, json from bed_scores where bed > $1 order by bed limit $2", after.bed, limit)
	}) {
		if err != nil {
			return err
		}
		if err := visit(one.bed, one.json); err != nil {
			return err
		}
	}
	return nil
}

// PutScores is journal.Tx's.
func (t *tx) PutScores(byBed map[string][]byte) error {
	for bed, json := range byBed {
		if err := t.queue("insert into bed_scores (bed, json) values ($1, $2) on conflict (site, bed) do update set json = excluded.json", bed, json); err != nil {
			return err
		}
	}
	return nil
}

// MarkScores is journal.Tx's.
func (t *tx) MarkScores(measures string, head int64) error {
	if err := t.queue("delete from scores_at where measures <> $1", measures); err != nil {
		return err
	}
	return t.queue("insert into scores_at (measures, head) values ($1, $2) on conflict (site, measures) do update set head = excluded.head", measures, head)
}

// ForgetScores is journal.Tx's.
func (t *tx) ForgetScores() error {
	if err := t.queue("delete from scores_at"); err != nil {
		return err
	}
	return t.queue("delete from bed_scores")
}
