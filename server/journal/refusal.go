package journal

import (
	"errors"
	"fmt"
	"net/http"

	"bedwalk/schema"
)

// The codes with which the Store refuses a push or pull, of which it then kept nothing; they are part of the wire. High comes
// with CodeGap and CodeFork, Incarnation with CodeFork, Epoch and ForkedAt with CodeRewind.
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

func gap(from, high int64) *schema.Problem {
	return &schema.Problem{
		Status: http.StatusConflict, Code: CodeGap, High: &high,
		Detail: fmt.Sprintf("The batch begins at entry %d, but the server has this device's entries only up to %d.", from, high),
		Remedy: fmt.Sprintf("Send again from entry %d on.", high+1),
	}
}

func fork(high int64, incarnation int) *schema.Problem {
	return &schema.Problem{
		Status: http.StatusConflict, Code: CodeFork, High: &high, Incarnation: &incarnation,
		Detail: "The server has other entries under the same numbers: this phone was copied, or its storage was set back.",
		Remedy: fmt.Sprintf("Take incarnation %d and send the entries that were never acknowledged under it; nothing is lost.", incarnation),
	}
}

func rewind(epoch string, forkedAt int64) *schema.Problem {
	return &schema.Problem{
		Status: http.StatusConflict, Code: CodeRewind, Epoch: epoch, ForkedAt: &forkedAt,
		Detail: fmt.Sprintf("The server was restored from a backup and goes on from position %d.", forkedAt),
		Remedy: "Pull again from there in the new epoch, and send again what the server no longer has.",
	}
}

// isRefusal is true for an answer of the journal's own to what a device sent, and false for trouble of the server, such as a
// full disk.
func isRefusal(err error) bool {
	refusal := (*schema.Problem)(nil)
	if !errors.As(err, &refusal) {
		return false
	}
	switch refusal.Code {
	case CodeGap, CodeFork, CodeRewind, CodeNoEntry, CodeBadChain, CodeClock, CodeNoIncarnation, CodeQuarantineFull:
		return true
	}
	return false
}
