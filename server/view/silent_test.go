package view

import (
	"testing"

	"bedwalk/server/access"
	"bedwalk/server/journal"
)

// The limits are Bedwalk's own assumptions: a week, or three days where notes wait on the phone.
func TestAPhoneIsSilentAfterAWeekOrAfterThreeDaysWithNotesToSend(t *testing.T) {
	const now = 100 * dayMS
	for _, c := range []struct {
		name   string
		device access.Device
		report journal.Report
		silent bool
		at     int64
	}{
		{"seen today", access.Device{PairedAt: 1, SeenAt: now - 1}, journal.Report{Pending: 9}, false, now - 1},
		{"nothing to send for six days", access.Device{PairedAt: 1, SeenAt: now - 6*dayMS}, journal.Report{}, false, now - 6*dayMS},
		{"nothing to send for seven days", access.Device{PairedAt: 1, SeenAt: now - 7*dayMS}, journal.Report{}, true, now - 7*dayMS},
		{"notes to send for three days", access.Device{PairedAt: 1, SeenAt: now - 3*dayMS}, journal.Report{Pending: 1}, true, now - 3*dayMS},
		{"its report is newer than its request", access.Device{PairedAt: 1, SeenAt: now - 9*dayMS}, journal.Report{At: now - dayMS}, false, now - dayMS},
		{"paired yesterday and never seen", access.Device{PairedAt: now - dayMS}, journal.Report{}, false, now - dayMS},
		{"paired long ago and never seen", access.Device{PairedAt: now - 8*dayMS}, journal.Report{}, true, now - 8*dayMS},
		{"revoked", access.Device{PairedAt: 1, SeenAt: 2, RevokedAt: 3}, journal.Report{Pending: 1}, false, 2},
	} {
		if at, silent := silentSince(c.device, c.report, now); silent != c.silent || at != c.at {
			t.Errorf("%s: silent %v since %d; want %v since %d", c.name, silent, at, c.silent, c.at)
		}
	}
}
