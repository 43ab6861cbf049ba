package schema

import (
	"crypto/sha256"
	"fmt"
)

// Matter is what a supervisor did about something that needs attention: settled it, or put it off to a day. The trouble itself is computed from
// other notes and is never written down.
type Matter struct {
	Writes
	// About is the code of the AttentionItem, Lot and Bed are where it is.
	About *string `json:"about,omitempty" validate:"omitempty,min=1,max=40"`
	Lot   *string `json:"lot,omitempty" validate:"omitempty,id"`
	Bed   *string `json:"bed,omitempty" validate:"omitempty,id"`
	// Settled is true while it is settled; SnoozedTo is the day on which it comes back, left out when it was not put off.
	Settled   *bool   `json:"settled,omitempty"`
	SnoozedTo *string `json:"snoozed_to,omitempty" validate:"omitempty,datetime=2006-01-02"`
	// FoundAt is when the walk was that had found it by then (ms since 1970), 0 where no walk does; Extent how bad it was (AttentionItem.Extent).
	// By these a trouble that came again or got worse is known.
	FoundAt *int64 `json:"found_at,omitempty" validate:"omitempty,min=0,max=9007199254740991"`
	Extent  *int   `json:"extent,omitempty" validate:"omitempty,min=0,max=100000000"`
}

// MatterID is the id of what is written about one trouble: two desks that settle it apart write about one matter. Place is the bed, lot, week or
// device that it is about.
func MatterID(code, place string) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "matter %s %s", code, place))
	return fmt.Sprintf("%x", sum[:16])
}
