package journal

import "bedwalk/schema"

// PotsIn are the pots of walks that were noted in a time (ms since 1970, its end not included), counted, in any order.
func (s *Snapshot) PotsIn(from, to int64) ([]PotsMade, error) { return s.snap.PotsIn(from, to) }

// MadeIn visits the notes that were made in a time (ms since 1970, its end not included), in any order, each with when it arrived, but for those that
// PotsIn counts. When a note was made is what its stamp says: one that was made out of range is visited for the time in which it was made, however
// late it came.
func (s *Snapshot) MadeIn(from, to int64, visit func(e schema.Stamped, arrivedAt int64)) error {
	for one, err := range s.snap.MadeIn(from, to) {
		if err != nil {
			return err
		}
		for _, e := range stampedOf([]Line{one.Line}) {
			visit(e, one.ReceivedAt)
		}
	}
	return nil
}

// LastMade is when the last note before a time was made; false where there is none.
func (s *Snapshot) LastMade(before int64) (at int64, found bool, err error) {
	return s.snap.LastMade(before)
}

// CameLate counts the notes that came into the journal in a time and had been made before it: from phones that were out of range, and out of
// quarantine.
func (s *Snapshot) CameLate(from, to int64, visit func(Late)) error {
	first, err := s.HeadAt(from)
	if err != nil {
		return err
	}
	last, err := s.HeadAt(to)
	if err != nil {
		return err
	}
	for one, err := range s.snap.LateIn(first, last, from) {
		if err != nil {
			return err
		}
		visit(one)
	}
	return nil
}

// EntriesAt are the notes at some positions, in any order.
func (s *Snapshot) EntriesAt(positions []int64) ([]schema.Stamped, error) {
	lines, err := s.snap.At(positions)
	return stampedOf(lines), err
}
