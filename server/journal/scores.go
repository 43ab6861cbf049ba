package journal

import (
	"context"
	"database/sql"
	"errors"
)

// ScoresAt is the head up to which the stored scores of beds hold, where they were made by these measures; found is false
// where there are none.
func (s *Snapshot) ScoresAt(measures string) (head int64, found bool, err error) {
	err = s.tx.QueryRow("select head from scores_at where measures = ?", measures).Scan(&head)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, false, nil
	}
	return head, err == nil, err
}

// Scores visits what is stored of each bed.
func (s *Snapshot) Scores(visit func(bed string, json []byte) error) error {
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

// ForgetScores takes all stored scores out, as when the measures have changed.
func (s *Store) ForgetScores(ctx context.Context) error {
	return s.db.Write(ctx, func(tx *sql.Tx) error {
		_, err := tx.Exec("delete from scores_at")
		if err == nil {
			_, err = tx.Exec("delete from bed_scores")
		}
		return err
	})
}

// SaveScores stores what was computed of some beds. It may be newer than the head that MarkScores last named.
func (s *Store) SaveScores(ctx context.Context, byBed map[string][]byte) error {
	return s.db.Write(ctx, func(tx *sql.Tx) error {
		for bed, json := range byBed {
			if _, err := tx.Exec("insert into bed_scores values (?, ?) on conflict (bed) do update set json = excluded.json", bed, json); err != nil {
				return err
			}
		}
		return nil
	})
}

// MarkScores says that all stored scores hold up to a head, and by which measures they were made.
func (s *Store) MarkScores(ctx context.Context, measures string, head int64) error {
	return s.db.Write(ctx, func(tx *sql.Tx) error {
		if _, err := tx.Exec("delete from scores_at where measures <> ?", measures); err != nil {
			return err
		}
		_, err := tx.Exec("insert into scores_at values (?, ?) on conflict (measures) do update set head = excluded.head", measures, head)
		return err
	})
}
