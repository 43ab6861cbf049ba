// Package fold makes records from entries. A record is a pure function of the set of entries that name its key: their
// order, repetition and grouping make no difference, so every device that holds the same entries holds the same records.
//
// Nothing is overwritten silently: writes and corrections made without knowing of each other are all kept until somebody
// who saw them settles them. Bodies that this build cannot read have no part in a record, and stay in the journal.
//
// The central function is Fold; its TypeScript twin is beside it. It knows nothing of storage or of measures.
package fold
