// Package fold makes records from entries. A record is a pure function of the set of entries that name its key: their
// order, repetition and grouping do not show, so every device that holds the same entries holds the same records.
//
// Nothing is overwritten in silence: writes and corrections made apart stay beside each other until somebody who saw
// both settles them. Bodies that this build cannot read have no part in a record, and stay in the journal.
//
// The central function is Fold; its TypeScript twin lies beside it. It knows nothing of storage or of measures.
package fold
