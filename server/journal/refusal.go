package journal

import "fmt"

// Refusal is a push or pull that the Store does not take, with what the device needs to go on. Code is one of those
// below; nothing of the request was kept.
type Refusal struct {
	Code   string
	Detail string
	Remedy string
	// High is set with Gap and Fork, Incarnation with Fork, Epoch and ForkedAt with Rewind.
	High        int64
	Incarnation int
	Epoch       string
	ForkedAt    int64
}

// The codes of refusals; they are part of the wire.
const (
	CodeGap      = "gap"
	CodeFork     = "fork"
	CodeRewind   = "rewind"
	CodeNoEntry  = "no_entries"
	CodeBadChain = "bad_chain"
	CodeClock    = "server_clock"
	// CodeNoIncarnation is for a device that was given every incarnation that there is.
	CodeNoIncarnation = "no_incarnation_left"
)

func (r *Refusal) Error() string { return fmt.Sprintf("%s: %s %s", r.Code, r.Detail, r.Remedy) }

func gap(from, high int64) *Refusal {
	return &Refusal{
		Code: CodeGap, High: high,
		Detail: fmt.Sprintf("The batch begins at entry %d, but the server has this device's entries only up to %d.", from, high),
		Remedy: fmt.Sprintf("Send again from entry %d on.", high+1),
	}
}

func fork(high int64, incarnation int) *Refusal {
	return &Refusal{
		Code: CodeFork, High: high, Incarnation: incarnation,
		Detail: "The server has other entries under the same numbers: this phone was copied, or its storage was set back.",
		Remedy: fmt.Sprintf("Take incarnation %d and send the entries that were never acknowledged under it; nothing is lost.", incarnation),
	}
}

func rewind(epoch string, forkedAt int64) *Refusal {
	return &Refusal{
		Code: CodeRewind, Epoch: epoch, ForkedAt: forkedAt,
		Detail: fmt.Sprintf("The server was restored from a backup and goes on from position %d.", forkedAt),
		Remedy: "Pull again from there in the new epoch, and send again what the server no longer has.",
	}
}
