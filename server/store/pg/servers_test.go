package pg_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"bedwalk/server/access"
	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

func TestANudgeIsHeardByEveryOtherServerOfTheSite(t *testing.T) {
	site := testpg.Site()
	one, other := open(t, site), open(t, site)
	ctx, end := context.WithCancel(t.Context())
	var side sync.WaitGroup
	defer func() {
		end()
		side.Wait()
	}()
	other.Paces(time.Hour, time.Hour)
	heard := make(chan struct{})
	side.Go(func() {
		other.Listen(ctx, func() {
			select {
			case heard <- struct{}{}:
			case <-ctx.Done():
			}
		})
	})
	// First what came while it was not there.
	<-heard
	side.Go(func() { one.SendNudges(ctx) })
	for range 2 {
		one.Nudge()
		<-heard
	}
}

func TestOneServerLeadsAtATimeAndAnotherWhenItIsGone(t *testing.T) {
	site := testpg.Site()
	var now, most, times int
	var mu sync.Mutex
	led := make(chan context.CancelFunc)
	var side sync.WaitGroup
	for range 3 {
		d := open(t, site)
		d.Paces(20*time.Millisecond, time.Hour)
		ctx, end := context.WithCancel(t.Context())
		side.Go(func() {
			d.Lead(ctx, pg.Upkeep, func(ctx context.Context) {
				mu.Lock()
				now++
				times++
				most = max(most, now)
				mu.Unlock()
				led <- end
				<-ctx.Done()
				mu.Lock()
				now--
				mu.Unlock()
			})
		})
	}
	for range 3 {
		(<-led)()
	}
	side.Wait()
	if most != 1 || times != 3 {
		t.Errorf("%d led at once, %d in all", most, times)
	}
}

func TestACommandThatMovesASiteWaitsForNoServerAndNoServerForIt(t *testing.T) {
	site := testpg.Site()
	one, other, command := open(t, site), open(t, site), open(t, site)
	if err := errors.Join(one.Hold(t.Context(), false), other.Hold(t.Context(), false)); err != nil {
		t.Fatal(err)
	}
	if err := command.Hold(t.Context(), true); !errors.Is(err, pg.ErrHeld) {
		t.Errorf("beside two servers: %v", err)
	}
	one.Close()
	other.Close()
	// The database lets go of what a closed connection held when it comes to it.
	err := pg.ErrHeld
	for errors.Is(err, pg.ErrHeld) {
		err = command.Hold(t.Context(), true)
	}
	if err != nil {
		t.Errorf("alone: %v", err)
	}
	if err := open(t, site).Hold(t.Context(), false); !errors.Is(err, pg.ErrHeld) {
		t.Errorf("a server beside the command: %v", err)
	}
}

// A code that "bedwalk pair" made beside a copy would be in no place that a server looks at.
func TestASiteIsNotMovedAwayOverWhatNewlyLetsSomebodyIn(t *testing.T) {
	site := testpg.Site()
	beside, command := open(t, site), open(t, site)
	for name, write := range map[string]func(access.Tx) error{
		"a code": func(tx access.Tx) error {
			return tx.Invite([32]byte{1}, access.Invitation{Pairing: access.Pairing{Role: access.Scout}, Until: 1})
		},
		"a reading key": func(tx access.Tx) error { return tx.PutReader(access.Reader{ID: "0e", Name: "office"}, [32]byte{2}) },
	} {
		before, err := command.Counts(t.Context())
		if err := errors.Join(err, pg.Access(beside).Write(t.Context(), write)); err != nil {
			t.Fatal(err)
		}
		if err := command.Move(t.Context(), "a file", before); !errors.Is(err, pg.ErrChanged) {
			t.Errorf("moved although there is %s: %v", name, err)
		}
	}
}

func TestASiteThatIsMovedAwayIsWrittenToNoMore(t *testing.T) {
	site := testpg.Site()
	server, command := open(t, site), open(t, site)
	s := pg.Journal(server)
	set := func() error {
		return s.Write(t.Context(), func(tx journal.Tx) error { return tx.Set("x", "1") })
	}
	before, err := command.Counts(t.Context())
	if err := errors.Join(err, set()); err != nil {
		t.Fatal(err)
	}
	if err := command.Move(t.Context(), "a file", before); !errors.Is(err, pg.ErrChanged) {
		t.Errorf("moved although somebody has written: %v", err)
	}
	now, err := command.Counts(t.Context())
	if err := errors.Join(err, command.Move(t.Context(), "a file", now)); err != nil {
		t.Fatal(err)
	}
	_, asked := server.Counts(t.Context())
	for _, err := range []error{asked, set(), s.Present()} {
		if !errors.Is(err, pg.ErrMoved) {
			t.Errorf("the error is %v", err)
		}
	}
	if _, err := pg.Open(t.Context(), pg.Options{URL: testpg.URL(t), Site: site}); !errors.Is(err, pg.ErrMovedAway) || !strings.Contains(err.Error(), "a file") {
		t.Errorf("opened again: %v", err)
	}
}

func TestADatabaseThatIsAnotherThanWasServedIsKnownForIt(t *testing.T) {
	name := testpg.Site()
	d := open(t, name)
	if d.Replaced() {
		t.Error("a new site is taken for another's")
	}
	if err := d.Served(t.Context()); err != nil {
		t.Fatal(err)
	}
	if open(t, name).Replaced() {
		t.Error("what was served is not known again")
	}
	conn := plain(t)
	// As after a standby took over, whose timeline is the second.
	if _, err := conn.Exec(t.Context(), "update sites set line = replace(line, ' 00000001 ', ' 00000002 ') where name = $1", name); err != nil {
		t.Fatal(err)
	}
	again := open(t, name)
	if !again.Replaced() {
		t.Error("another line of history is not seen")
	}
	if err := again.Served(t.Context()); err != nil || open(t, name).Replaced() {
		t.Errorf("it is said again: %v", err)
	}
}
