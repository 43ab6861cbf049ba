// Package stamp estimates when an entry was made, once, when it first arrives. No phone's clock is trusted and none is
// refused: what the phone says is bounded by what the server knows, and where the two contradict each other the stamp
// says between which times the truth lies.
//
// It holds no clock: the server hands in its own time, which it never lets run backwards. The central type is In.
package stamp

import "bedwalk/schema"

// Tolerance is by how much (in ms) clocks may differ and still count as equal: two minutes.
const Tolerance = 2 * 60 * 1000

// In is all that is known when an entry arrives. Times are milliseconds since 1970.
type In struct {
	// Entry has the device's clocks and the newest server time it had seen, at writing.
	Entry schema.Entry
	// Session, SentWall and SentMono are the device's clocks at sending.
	Session  string
	SentWall int64
	SentMono int64
	// Now is the server's time, which never goes back.
	Now int64
	// Last is the stamp (At) of the device's entry before this one, 0 for its first. One that lies ahead of Now was given
	// by a clock that has been put right since, and binds nothing; the same holds for the entry's Floor and for Enrolled.
	Last int64
	// Enrolled is when the device was paired, 0 where that is not known. Only a note that a phone took over from an
	// earlier pairing of its own can be older; its Floor says so, or is 0 for one that could not be saved when it was tapped,
	// and its time is bracketed from there.
	Enrolled int64
}

// Give computes the stamp. At lies between the newest server time that the writer had seen and Now, and never before
// Last, so that a phone whose clock is ahead does not win every conflict, one that is behind does not lose every one, and a
// device's own order is kept. For an exact or corrected time From and To are At; for a bracketed one they are the
// earliest and the latest time at which the entry can have been made.
func Give(in In) schema.Stamp {
	if in.Entry.Floor > in.Now+Tolerance {
		// The server had given it out while its own clock was ahead.
		in.Entry.Floor = 0
	}
	if in.Last > in.Now+Tolerance {
		in.Last = 0
	}
	if in.Enrolled > in.Now+Tolerance {
		in.Enrolled = 0
	}
	earliest := min(max(in.Entry.Floor, in.Enrolled), in.Now)
	estimate, latest, trusted := estimated(in)
	latest = max(latest, earliest)
	// A clock that agreed with itself may still contradict what the device had already seen.
	trusted = trusted && estimate >= earliest-Tolerance && estimate <= in.Now+Tolerance
	at := min(max(estimate, earliest), latest)
	switch floor := in.Entry.Floor; {
	case floor > 0 && floor < in.Enrolled:
		trusted, earliest = false, min(earliest, floor)
	case floor == 0 && !trusted:
		earliest = max(0, min(earliest, estimate))
	}
	// Both bounds together may have moved it further than each alone.
	at = max(at, in.Last)
	trusted = trusted && at-estimate <= Tolerance
	if !trusted {
		return schema.Stamp{At: at, Quality: schema.Bracketed, From: min(earliest, at), To: max(latest, at)}
	}
	quality := schema.Corrected
	if skew := in.SentWall - in.Now; -Tolerance <= skew && skew <= Tolerance {
		quality = schema.Exact
	}
	return schema.Stamp{At: at, Quality: quality, From: at, To: at}
}

// estimated counts back from now by the entry's age. Latest is the last time at which it can have been made; trusted
// is false where the device's clocks contradict each other.
func estimated(in In) (estimate, latest int64, trusted bool) {
	wallAge := in.SentWall - in.Entry.Wall
	monoAge := in.SentMono - in.Entry.Mono
	if in.Entry.Session != in.Session || monoAge < 0 {
		return in.Now - wallAge, in.Now, true
	}
	latest = in.Now - monoAge
	if wallAge < monoAge-Tolerance {
		// The wall clock was set back in between; the other one only ever runs slow (it stops while a phone sleeps).
		return latest, latest, false
	}
	// A wall clock that ran further than the other one means sleep, which the other one does not count.
	return in.Now - max(wallAge, monoAge), latest, true
}
