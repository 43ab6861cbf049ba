package journal

import "context"

// ScoresAt is the head up to which the stored scores of beds hold, where they were made by these measures; found is false
// where there are none.
func (s *Snapshot) ScoresAt(measures string) (head int64, found bool, err error) {
	return s.snap.ScoresAt(measures)
}

// Scores visits what is stored of each bed.
func (s *Snapshot) Scores(visit func(bed string, json []byte) error) error {
	return s.snap.Scores(visit)
}

// ForgetScores takes all stored scores out, as when the measures have changed.
func (s *Store) ForgetScores(ctx context.Context) error {
	return s.site.Write(ctx, func(tx Tx) error { return tx.ForgetScores() })
}

// SaveScores stores what was computed of some beds. It may be newer than the head that MarkScores last named.
func (s *Store) SaveScores(ctx context.Context, byBed map[string][]byte) error {
	return s.site.Write(ctx, func(tx Tx) error { return tx.PutScores(byBed) })
}

// MarkScores says that all stored scores hold up to a head, and by which measures they were made.
func (s *Store) MarkScores(ctx context.Context, measures string, head int64) error {
	return s.site.Write(ctx, func(tx Tx) error { return tx.MarkScores(measures, head) })
}
