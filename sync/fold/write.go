package fold

import (
	"fmt"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Try is Fold for entries that were not checked: bytes that an older build merged, or that the disk damaged. Where Fold
// would panic, Try returns an error.
func Try(recordKey string, entries []schema.Stamped) (record schema.Record, made bool, err error) {
	defer func() {
		if cause := recover(); cause != nil {
			record, made, err = schema.Record{}, false, fmt.Errorf("the entries of %s cannot be folded: %v", recordKey, cause)
		}
	}()
	record, made = Fold(recordKey, entries)
	return record, made, nil
}

// Text returns a record's canonical bytes. Every record of entries that schema.Check accepts has them; the error, one of
// canonical bytes, is for entries that a supervisor or an older build merged besides.
func Text(record schema.Record) ([]byte, error) { return journal.OfRecord(record) }

// Check says whether the entries of a key make a record that can be written, or no record. Its errors are those of Try and
// Text.
func Check(recordKey string, entries []schema.Stamped) error {
	record, made, err := Try(recordKey, entries)
	if err != nil || !made {
		return err
	}
	_, err = Text(record)
	return err
}
