package simrun

import (
	"context"

	"bedwalk/server/journal"
)

// Faults that only several servers can have, each a wrong answer to what another server or another database did.
const (
	memoryTrusted = "memory trusted after another server wrote"
	epochKept     = "an epoch kept when a standby took over"
)

// planted is a server's site, with a fault around it.
func (h *servers) planted(site journal.Site) journal.Site {
	if h.plant == memoryTrusted {
		return forgetful{site}
	}
	return site
}

// look is what every request begins with.
func (h *servers) look(s *server) func(context.Context) error {
	if h.plant == memoryTrusted {
		return nil
	}
	return s.shared.Look
}

// deaf is true where servers do not hear each other.
func (h *servers) deaf() bool { return h.plant == memoryTrusted }

// forgetful is a site that never says that another server has written.
type forgetful struct{ journal.Site }

func (f forgetful) Write(ctx context.Context, write func(journal.Tx) error) error {
	return f.Site.Write(ctx, func(tx journal.Tx) error { return write(forgetfulTx{tx}) })
}

type forgetfulTx struct{ journal.Tx }

func (forgetfulTx) Turn() (int64, error) { return 0, nil }
