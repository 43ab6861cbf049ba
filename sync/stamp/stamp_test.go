package stamp

import (
	"testing"

	"pgregory.net/rapid"

	"bedwalk/schema"
)

const (
	second = int64(1000)
	minute = 60 * second
	hour   = 60 * minute
	day    = 24 * hour
	year   = 365 * day
	// now is 2026-05-04 16:00 UTC.
	now = int64(1777910400000)
)

// phone is a device whose wall clock is off by skew; it writes at `at` and sends at `sent`, true times.
func phone(skew, at, sent int64) In {
	return In{
		Entry:   schema.Entry{Wall: at + skew, Mono: at - (sent - 9*hour), Session: "s1", Floor: at - 3*hour},
		Session: "s1", SentWall: sent + skew, SentMono: 9 * hour, Now: sent, Last: at - minute, Enrolled: at - 30*day,
	}
}

func TestStamps(t *testing.T) {
	exact := func(at int64) schema.Stamp { return schema.Stamp{At: at, Quality: schema.Exact, From: at, To: at} }
	corrected := func(at int64) schema.Stamp {
		return schema.Stamp{At: at, Quality: schema.Corrected, From: at, To: at}
	}
	bracketed := func(at, from, to int64) schema.Stamp {
		return schema.Stamp{At: at, Quality: schema.Bracketed, From: from, To: to}
	}
	change := func(in In, change func(*In)) In {
		change(&in)
		return in
	}
	otherSession := func(in *In) { in.Session, in.SentMono = "s2", second }
	for _, c := range []struct {
		name string
		in   In
		want schema.Stamp
	}{
		{"a right clock gives the time itself", phone(0, now-hour, now), exact(now - hour)},
		{"a clock a minute ahead is corrected and still called exact", phone(minute, now-hour, now), exact(now - hour)},
		{"two minutes off is exact", phone(2*minute, now-hour, now), exact(now - hour)},
		{"two minutes behind is exact", phone(-2*minute, now-hour, now), exact(now - hour)},
		{"more than two minutes behind is corrected", phone(-2*minute-1, now-hour, now), corrected(now - hour)},
		{"more than two minutes off is corrected", phone(2*minute+1, now-hour, now), corrected(now - hour)},
		{"a year ahead", phone(year, now-hour, now), corrected(now - hour)},
		{"a year behind", phone(-year, now-hour, now), corrected(now - hour)},
		{"set back to 1970", phone(-(now - hour), now-hour, now), corrected(now - hour)},
		{"a year ahead, after the app was closed in between", change(phone(year, now-hour, now), otherSession), corrected(now - hour)},
		{"a right clock, after the app was closed in between", change(phone(0, now-hour, now), otherSession), exact(now - hour)},
		{"a phone that slept counts by its wall clock", change(phone(0, now-hour, now), func(in *In) { in.Entry.Mono += 50 * minute }), exact(now - hour)},
		{"a clock set back in between, within a session: by the other clock at the latest, and bracketed",
			change(phone(0, now-hour, now), func(in *In) { in.SentWall -= 30 * minute }), bracketed(now-hour, now-4*hour, now-hour)},
		{"a clock set back in between by a day, over a closed app: bracketed by what is known",
			change(phone(0, now-hour, now), func(in *In) { otherSession(in); in.SentWall -= day }), bracketed(now, now-4*hour, now)},
		{"a clock put forward by a year in between, over a closed app: bracketed, not before what was seen",
			change(phone(0, now-hour, now), func(in *In) { otherSession(in); in.SentWall += year }), bracketed(now-hour-minute, now-4*hour, now)},
		{"a session number met again by chance is another session",
			change(phone(0, now-hour, now), func(in *In) { in.SentMono = 0 }), exact(now - hour)},
		{"not before the entry before it, by seconds: raised", change(phone(0, now-hour, now), func(in *In) { in.Last = now - hour + 5*second }), exact(now - hour + 5*second)},
		{"not before the entry before it, by minutes: raised and bracketed",
			change(phone(0, now-hour, now), func(in *In) { in.Last = now - 10*minute }), bracketed(now-10*minute, now-4*hour, now-10*minute)},
		{"not before the entry before it, by just two minutes: raised",
			change(phone(0, now-hour, now), func(in *In) { in.Last = now - hour + 2*minute }), exact(now - hour + 2*minute)},
		{"not before the entry before it, by a millisecond more: raised and bracketed",
			change(phone(0, now-hour, now), func(in *In) { in.Last = now - hour + 2*minute + 1 }), bracketed(now-hour+2*minute+1, now-4*hour, now-hour+2*minute+1)},
		{"a floor of one millisecond is one all the same",
			change(phone(0, now-hour, now), func(in *In) { in.Entry.Floor = 1 }), bracketed(now-hour, 1, now-hour)},
		{"not before it was paired, but what was set aside before it may have been made before it",
			change(phone(0, now-hour, now), func(in *In) { in.Last, in.Enrolled, in.Entry.Floor = 0, now-10*minute, 0 }),
			bracketed(now-10*minute, now-hour, now-10*minute)},
		{"set aside before it was paired, by a clock that said 1970 then: bracketed from there",
			change(phone(0, now-hour, now), func(in *In) {
				in.Last, in.Enrolled, in.Entry.Floor, in.Entry.Wall, in.Session = 0, now-10*minute, 0, 0, "s2"
				in.SentWall = now + day
			}), bracketed(now-10*minute, 0, now)},
		{"paired by a clock that was ahead: that binds nothing",
			change(phone(0, now-hour, now), func(in *In) { in.Enrolled = now + 3*hour }), exact(now - hour)},
		{"taken over from an earlier pairing of the phone: bracketed from what its writer had seen then",
			change(phone(0, now-hour, now), func(in *In) { in.Last, in.Enrolled, in.Entry.Floor = 0, now-10*minute, now-2*hour }),
			bracketed(now-10*minute, now-2*hour, now-10*minute)},
		{"the first note after it was paired, which had seen that moment",
			change(phone(0, now-hour, now), func(in *In) { in.Last, in.Enrolled, in.Entry.Floor = 0, now-2*hour, now-2*hour }), exact(now - hour)},
		{"a floor from the future was given by a wrong clock and binds nothing", change(phone(0, now-hour, now), func(in *In) { in.Entry.Floor = now + year }), exact(now - hour)},
		{"so with an entry before it from the future", change(phone(0, now-hour, now), func(in *In) { in.Last = now + 10*year }), exact(now - hour)},
		{"made and sent at once", phone(0, now, now), exact(now)},
		{"sent a moment before it was made, by a jumping clock: now", change(phone(0, now, now), func(in *In) { otherSession(in); in.Entry.Wall += 30 * second }), exact(now)},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Give(c.in); got != c.want {
				t.Errorf("got  %+v\nwant %+v", got, c.want)
			}
		})
	}
}

func drawIn(t *rapid.T) In {
	time := rapid.Int64Range(0, 1<<53-1)
	at := rapid.OneOf(time, rapid.Int64Range(now-day, now+day))
	session := rapid.SampledFrom([]string{"s1", "s2"})
	return In{
		Entry:   schema.Entry{Wall: at.Draw(t, "wall"), Mono: time.Draw(t, "mono"), Session: session.Draw(t, "session"), Floor: at.Draw(t, "floor")},
		Session: session.Draw(t, "sent session"), SentWall: at.Draw(t, "sent wall"), SentMono: time.Draw(t, "sent mono"),
		Now: at.Draw(t, "now"), Last: at.Draw(t, "last"), Enrolled: at.Draw(t, "enrolled"),
	}
}

func TestNoClockCanPutAnEntryOutsideWhatTheServerKnows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawIn(t)
		// The server's own time is never behind a stamp that it gave.
		in.Last = min(in.Last, in.Now)
		st := Give(in)
		if st.At > in.Now {
			t.Fatalf("stamped %d after now", st.At-in.Now)
		}
		if st.At < in.Last {
			t.Fatalf("stamped %d before the entry before it", in.Last-st.At)
		}
		known := func(at int64) int64 {
			if at > in.Now+Tolerance {
				return 0
			}
			return at
		}
		if floor := min(in.Now, max(known(in.Entry.Floor), known(in.Enrolled))); st.At < floor {
			t.Fatalf("stamped %d before what the writer had seen", floor-st.At)
		}
		if st.From > st.At || st.At > st.To || st.To > in.Now {
			t.Fatalf("%+v does not lie within its own span", st)
		}
		if st.Quality != schema.Bracketed && (st.From != st.At || st.To != st.At) {
			t.Fatalf("%+v has a span but is not bracketed", st)
		}
	})
}

func TestASteadyClockIsRightWhateverItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		skew := rapid.OneOf(rapid.Int64Range(-2*year, 2*year), rapid.Int64Range(-3*minute, 3*minute)).Draw(t, "skew")
		age := rapid.Int64Range(0, 3*hour).Draw(t, "age")
		in := phone(skew, now-age, now)
		if rapid.Bool().Draw(t, "app closed in between") {
			in.Session = "s2"
		}
		want := schema.Corrected
		if -Tolerance <= skew && skew <= Tolerance {
			want = schema.Exact
		}
		if st := Give(in); st.At != now-age || st.Quality != want {
			t.Fatalf("%+v, want %s at %d", st, want, now-age)
		}
	})
}

func TestADevicesOwnOrderIsKeptThroughEveryJumpOfItsClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at, skew, last, mono := now-day, int64(0), int64(0), int64(0)
		var entries []schema.Entry
		for range rapid.IntRange(1, 20).Draw(t, "entries") {
			passed := rapid.Int64Range(0, hour).Draw(t, "passed")
			at, mono = at+passed, mono+passed
			if rapid.IntRange(0, 3).Draw(t, "jumps") == 0 {
				skew = rapid.Int64Range(-year, year).Draw(t, "skew")
			}
			entries = append(entries, schema.Entry{Wall: at + skew, Mono: mono, Session: "s1", Floor: now - 2*day})
		}
		for _, e := range entries {
			st := Give(In{Entry: e, Session: "s1", SentWall: at + skew, SentMono: mono, Now: at, Last: last})
			if st.At < last || st.At > at {
				t.Fatalf("stamp %+v after %d, at %d", st, last, at)
			}
			last = st.At
		}
	})
}
