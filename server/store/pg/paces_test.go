package pg

import "time"

// Paces sets how often a connection is looked after, and how often the site's row is read without a nudge: a test that waits for a nudge must not be helped
// by the clock, and one in which a server goes must not wait for it.
func (d *DB) Paces(every, anyway time.Duration) { d.every, d.anyway = every, anyway }
