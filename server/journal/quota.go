package journal

import (
	"fmt"
	"net/http"

	"bedwalk/schema"
)

// Quota is how much of one device may lie in quarantine: notes that wait for a decision, and of a revoked device whatever
// it ever sent after it was revoked. What comes beyond it stays on the phone until somebody has decided.
type Quota struct {
	Notes int64
	Bytes int64
}

// DefaultQuota is far more than an honest phone writes in a season (5,000 notes of about 600 bytes), and so little that
// no device can fill the disk.
var DefaultQuota = Quota{Notes: 20_000, Bytes: 32 << 20}

// CodeQuarantineFull is the refusal of what would go beyond the quota, and the incident that tells of it.
const CodeQuarantineFull = "quarantine_full"

// quarantineSize is how much of a device lies in quarantine.
type quarantineSize struct {
	known        bool
	notes, bytes int64
}

// room takes a note into the count of the quarantine, or refuses the batch. The count is read once a transaction: most
// have nothing for the quarantine.
func (in *intake) room(a arrival) error {
	if !in.quarantineSize.known {
		// Of a revoked device everything counts that was not merged; of others what is decided makes room again.
		var err error
		if in.quarantineSize.notes, in.quarantineSize.bytes, err = in.tx.SizeOf(in.push.Device, in.from.Revoked); err != nil {
			return err
		}
		in.quarantineSize.known = true
	}
	in.quarantineSize.notes++
	in.quarantineSize.bytes += int64(len(a.raw))
	quota := in.store.quota
	if in.quarantineSize.notes <= quota.Notes && in.quarantineSize.bytes <= quota.Bytes {
		return nil
	}
	// To a phone this is "later": its queue keeps what it has, and tries again.
	return &schema.Problem{
		Status: http.StatusTooManyRequests, Code: CodeQuarantineFull,
		Detail: fmt.Sprintf("The quarantine holds as much of this phone as it may: %d notes or %d MB.",
			quota.Notes, quota.Bytes>>20),
		Remedy: "The phone keeps its notes and sends them when a supervisor has decided on those that wait on the Phones page.",
	}
}
