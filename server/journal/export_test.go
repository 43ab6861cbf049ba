package journal

// Proves is what a pull asks of the proof of a cursor.
func (s *Store) Proves(position int64, proof string) bool {
	return s.keys.provesCursor(position, proof)
}
