package journal

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"bedwalk/schema"
)

// leftAfter is how long (in ms of the server's clock) nothing has touched a closed lot when first pulls leave its notes out.
const leftAfter = int64(30 * 24 * time.Hour / time.Millisecond)

// goneLots is how many lots a page of Gone has.
const goneLots = 500

// The codes of first pulls.
const (
	CodeFirstPullOver = "first_pull_over"
	CodeParameter     = "parameter"
	CodeNoSuchLot     = "no_such_lot"
)

// errNotReadYet is the answer while the server still reads a file of an older build.
var errNotReadYet = schema.NewProblem(http.StatusServiceUnavailable, "not_read_yet", "The server is still reading the notes of an older version.",
	"Ask again in a minute; everything else works.")

// Begin is what a device says in place of a resume that it does not have yet.
const Begin = "1"

// First is what a device says of its first pull. Alive is Begin, or what the page before gave as Resume. Houses matters at the beginning
// alone: ids with commas between them, or OwnHouses for those of Person; "" leaves out nothing of any house.
type First struct{ Alive, Houses, Person string }

// firstPull is what a first pull leaves out, and so what it is: the lots that were closed at position upTo of an epoch and had been
// untouched for long enough at a time (ms since 1970), and those that have stood in none of some houses for as long (ids with dots between them;
// "" is for all houses). It is zero until it has begun.
type firstPull struct {
	upTo, at      int64
	epoch, houses string
}

// byHouses stands before the houses. An earlier release, which kept every lot that had ever stood in one of them, wrote none: a first pull that
// began there is refused, and its device reads everything.
const byHouses = "m"

func (f firstPull) resume() string {
	resume := fmt.Sprintf("%d-%d-%s", f.upTo, f.at, f.epoch)
	if f.houses != "" {
		resume += "-" + byHouses + f.houses
	}
	return resume
}

// readFirstPull reads what a device sends as "alive".
func readFirstPull(text string) (f firstPull, err error) {
	if text == Begin {
		return f, nil
	}
	parts := strings.Split(text, "-")
	if n := len(parts); (n == 3 || n == 4) && parts[2] != "" {
		upTo, at := int64(0), int64(0)
		if upTo, err = strconv.ParseInt(parts[0], 10, 64); err == nil {
			at, err = strconv.ParseInt(parts[1], 10, 64)
		}
		f = firstPull{upTo, at, parts[2], strings.TrimPrefix(strings.Join(parts[3:], ""), byHouses)}
		houses, unreadable := readHouses(f.houses, ".")
		if err == nil && unreadable == nil && upTo >= 0 && at > 0 && f.houses == strings.Join(houses, ".") && f.resume() == text {
			return f, nil
		}
	}
	return f, schema.NewProblem(http.StatusBadRequest, CodeParameter, fmt.Sprintf("Parameter alive is %q.", shorten(text, 60)),
		"Give 1 with after=0 to begin, and then what the server gave as resume.")
}

// PullAlive is Pull for the first pull of a device, which leaves out the notes of lots that are closed, and of those that have stood in none of its
// houses for a month. A file of an older build that was not read whole yet gives everything.
func (s *Store) PullAlive(ctx context.Context, device, epoch string, after int64, limit int, proof string, asked First) (schema.Pull, error) {
	first, err := readFirstPull(asked.Alive)
	if err != nil {
		return schema.Pull{}, err
	}
	if first.epoch == "" && after > 0 {
		return schema.Pull{}, schema.NewProblem(http.StatusBadRequest, CodeParameter, "A first pull does not begin after a position.",
			"Give after=0 with alive=1, or pull without alive.")
	}
	return s.pull(ctx, cursor{device, epoch, after, proof}, limit, &beginning{asked, first})
}

// beginning is a first pull with what its device said of it.
type beginning struct {
	asked First
	firstPull
}

// begin makes sure that a first pull stands on this journal, and gives one that is only beginning its end. False is for one that is over, and
// for a file of which it is not known yet what may be left out.
func (f *beginning) begin(snap Snap, s *Store, after int64) (begun bool, err error) {
	if f.epoch == "" {
		if known, err := leavingKnown(snap); err != nil || !known {
			return false, err
		}
		head, err := snap.Head()
		if err != nil {
			return false, err
		}
		houses, err := housesOf(snap, f.asked.Houses, f.asked.Person)
		if err != nil {
			return false, err
		}
		f.firstPull = firstPull{head, s.passedMS(), s.Epoch(), strings.Join(houses, ".")}
	}
	all, err := snap.Epochs()
	if err != nil {
		return false, err
	}
	if common(all, f.epoch, s.Epoch(), s.Head()) < f.upTo {
		return false, schema.NewProblem(http.StatusConflict, CodeFirstPullOver, "The server was set back since this first pull began.",
			"Begin it again with after=0 and alive=1.")
	}
	return after < f.upTo, nil
}

// leavingKnown is false while an older file is still being read.
func leavingKnown(snap Snap) (bool, error) {
	sorted, err := snap.Setting(metaSorted)
	if err != nil || sorted != "" {
		return false, err
	}
	upTo, err := summedUpTo(snap)
	return upTo == allSummed, err
}

// leftOut are the lots that were closed by the end of a first pull, and others of these numbers.
func (f firstPull) leftOut(others []int64) LeftOut {
	return LeftOut{UpTo: f.upTo, Before: f.at - leftAfter, Others: others}
}

// alivePage is a page without what a first pull leaves out.
func (s *Store) alivePage(snap Snap, page *schema.Pull, after int64, limit int, f firstPull) (err error) {
	elsewhere, err := s.elsewhere(snap, f)
	if err != nil {
		return err
	}
	var full bool
	page.Items, page.Receipts, full, err = s.items(limit, snap.AfterBut(after, limit, f.leftOut(elsewhere.numbers)))
	if err != nil {
		return err
	}
	// Where the page is not full, what follows is left out; the head is that of this look at the journal.
	passed, err := snap.Head()
	if err != nil {
		return err
	}
	if full {
		passed = page.Items[len(page.Items)-1].Position
	}
	page.More = passed < page.Head
	page.First = &schema.FirstPull{Resume: f.resume(), UpTo: f.upTo, Passed: passed}
	if passed == 0 {
		return nil
	}
	at, receipt, _, err := s.items(1, snap.After(passed-1, 1))
	if err == nil && len(at) > 0 {
		page.First.Proof = ProofOf(at[0], receipt)
	}
	return err
}

// Gone tells which notes a first pull left out, in the order of the lots' ids after one of them: their sums, without summaries.
func (s *Store) Gone(ctx context.Context, asked First, after string) (gone schema.Gone, err error) {
	first, err := readFirstPull(asked.Alive)
	if err != nil {
		return gone, err
	}
	f := beginning{asked, first}
	gone = schema.Gone{Lots: []schema.GoneLot{}, MadeAt: s.passedMS()}
	err = s.site.Read(ctx, func(snap Snap) error {
		if known, err := leavingKnown(snap); err != nil {
			return err
		} else if !known {
			return errNotReadYet
		}
		if _, err := f.begin(snap, s, 0); err != nil {
			return err
		}
		gone.Resume, gone.UpTo = f.resume(), f.upTo
		var err error
		if gone.OldUpTo, err = s.arrivals.oldUpTo(snap, f.at); err != nil {
			return err
		}
		return s.gonePage(snap, &gone, f.firstPull, after)
	})
	return gone, err
}

// goneWork is after how many entries read a page of Gone ends early: a first pull that was begun long ago has its sums computed from what
// has come since.
const goneWork = 20_000

// gonePage fills in a page of lots.
func (s *Store) gonePage(snap Snap, gone *schema.Gone, f firstPull, after string) error {
	closed, err := snap.Gone(f.leftOut(nil), after, goneLots+1)
	if err != nil {
		return err
	}
	elsewhere, err := s.elsewhere(snap, f)
	if err != nil {
		return err
	}
	ids := slices.Clone(elsewhere.ids)
	var strayed []int64
	if f.houses != "" {
		if strayed, err = snap.Strayed(f.upTo); err != nil {
			return err
		}
	}
	for lot := range closed {
		ids = append(ids, lot)
	}
	slices.Sort(ids)
	work := 0
	for _, lot := range slices.Compact(ids) {
		if lot <= after {
			continue
		}
		if gone.More = len(gone.Lots) == goneLots || work > goneWork && len(gone.Lots) > 0; gone.More {
			return nil
		}
		l, isClosed := closed[lot]
		if !isClosed {
			var read int
			if l, read, err = leavingAt(snap, lot, f.upTo, strayed); err != nil {
				return err
			}
			work += read
		}
		if l.Notes.Count == 0 {
			continue
		}
		gone.Lots = append(gone.Lots, schema.GoneLot{
			Lot: lot, Count: l.Notes.Count, Sum: l.Notes.Sum.String(), Records: l.Records.Count, RecordSum: l.Records.Sum.String(),
		})
	}
	return nil
}
