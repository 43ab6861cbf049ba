package store_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// hold puts a note of a device in quarantine.
func hold(tx journal.Tx, device string, at, seq int64, state string) (n int64, err error) {
	c, err := tx.Chain(device, 1)
	if err != nil {
		return 0, err
	}
	if c.N, err = tx.PutChain(device, 1, c); err != nil {
		return 0, err
	}
	e, raw := entry(at, seq, "A", "bed")
	return tx.PutQuarantine(journal.NewQuarantined{ID: e.ID, Writer: c.N, Seq: seq, ReceivedAt: 100 + at, State: state, Stamp: stampAt(at), Raw: raw})
}

// What a phone spelt as an id can be as long as a note, and two can begin alike.
func quarantineLongIDs(t *testing.T, s journal.Site) {
	random := rand.New(rand.NewPCG(1, 2))
	long := make([]byte, 20_000)
	for i := range long {
		long[i] = byte('a' + random.IntN(26))
	}
	ids := []string{string(long), string(long[:19_999]), string(long[:300]) + "é\x00"}
	write(t, s, func(tx journal.Tx) error {
		n, err := tx.PutChain("0a", 1, journal.Chain{})
		if err != nil {
			return err
		}
		for i, id := range ids {
			if _, err := tx.PutQuarantine(journal.NewQuarantined{ID: id, Writer: n, Seq: int64(i + 1), State: "review", Raw: []byte{byte(i)}}); err != nil {
				return err
			}
		}
		return nil
	})
	read(t, s, func(snap journal.Snap) error {
		for i, id := range ids {
			held, found, err := snap.Held(id, nil)
			same(t, "held", held.Bytes, err, []byte{byte(i)})
			known, err := snap.Known([]string{id})
			if err != nil || !found || len(known) != 1 || known[0].ID != id || known[0].Seq != int64(i+1) {
				t.Errorf("id %d is known as %d notes, %v", i, len(known), err)
			}
		}
		return nil
	})
}

func quarantineDecided(t *testing.T, s journal.Site) {
	var first, second int64
	fault := []schema.Fault{{Field: "bed", Code: schema.CodeUnknownBed, Value: "x"}}
	write(t, s, func(tx journal.Tx) (err error) {
		if first, err = hold(tx, "0a", 1, 1, "quarantined"); err != nil {
			return err
		}
		if second, err = hold(tx, "0a", 2, 2, "review"); err != nil {
			return err
		}
		// What waits for the same record twice waits for it once.
		return errors.Join(tx.Await(first, "lot:A"), tx.Await(first, "lot:A"), tx.Await(first, "bed:b"), tx.Await(second, "lot:A"))
	})
	if second <= first {
		t.Errorf("numbers do not rise: %d, %d", first, second)
	}
	awaiting := func(want []int64, keys ...string) {
		t.Helper()
		read(t, s, func(snap journal.Snap) error {
			got, err := snap.Awaiting(keys)
			same(t, fmt.Sprint("awaiting ", keys), got, err, want)
			return nil
		})
	}
	awaiting([]int64{first, second}, "bed:b", "lot:A", "lot:nothing")
	awaiting([]int64{first}, "bed:b")
	awaiting(nil, "lot:a")
	awaiting(nil)
	_, raw := entry(1, 1, "A", "bed")
	read(t, s, func(snap journal.Snap) error {
		w, found, err := snap.Waiting(first)
		chain, bad := snap.Chain("0a", 1)
		same(t, "waiting", w, errors.Join(err, bad), journal.Waiting{
			Arrived: journal.Arrived{Line: journal.Line{Stamp: stampAt(1), Bytes: raw}, N: first, ID: idAt(1), Seq: 1, State: "quarantined", Faults: []schema.Fault{}},
			Writer:  chain.N, ReceivedAt: 101, By: journal.ChainPlace{Device: "0a", Incarnation: 1, Seq: 1},
		})
		same(t, "found", found, nil, true)
		_, found, err = snap.Waiting(second + 1)
		same(t, "found of none", found, err, false)
		return nil
	})
	write(t, s, func(tx journal.Tx) error { return tx.Fault(second, fault) })
	awaiting([]int64{first}, "lot:A")
	write(t, s, func(tx journal.Tx) error {
		for _, ask := range []struct {
			n    int64
			d    journal.Decision
			done bool
		}{
			{first, journal.Decision{State: "merged", Position: 9, By: "rail", At: 200}, true}, {first, journal.Decision{State: "left"}, false},
			{second + 1, journal.Decision{State: "left"}, false},
		} {
			done, err := tx.Decide(ask.n, ask.d)
			same(t, fmt.Sprintf("decide %+v", ask), done, err, ask.done)
		}
		return nil
	})
	awaiting(nil, "lot:A", "bed:b")
	read(t, s, func(snap journal.Snap) error {
		_, found, err := snap.Waiting(first)
		same(t, "what was decided waits", found, err, false)
		w, _, err := snap.Waiting(second)
		same(t, "faults", wordless(w.Faults), err, fault)
		return nil
	})
}

func quarantineListed(t *testing.T, s journal.Site) {
	numbers := map[int64]int64{}
	write(t, s, func(tx journal.Tx) error {
		for _, one := range []struct {
			device  string
			at, seq int64
			state   string
		}{
			{"0a", 1, 1, "quarantined"}, {"0a", 2, 2, "quarantined"}, {"0b", 3, 1, "review"}, {"0a", 4, 3, "review"}, {"0c", 5, 1, "quarantined"},
			{"0a", 6, 4, "repeat"},
		} {
			n, err := hold(tx, one.device, one.at, one.seq, one.state)
			if err != nil {
				return err
			}
			numbers[n] = one.at
		}
		for n, at := range numbers {
			if at == 5 {
				if _, err := tx.Decide(n, journal.Decision{State: "left", At: 1}); err != nil {
					return err
				}
			}
		}
		return nil
	})
	at := func(all []journal.Quarantined) (which []int64) {
		for _, one := range all {
			which = append(which, numbers[one.N])
		}
		return which
	}
	read(t, s, func(snap journal.Snap) error {
		each, err := snap.WaitingEach(10)
		same(t, "each", at(each), err, []int64{4, 3, 2, 1})
		each, err = snap.WaitingEach(3)
		same(t, "three of them", at(each), err, []int64{4, 3, 2})
		_, raw := entry(4, 3, "A", "bed")
		same(t, "one of them", each[0], nil, journal.Quarantined{N: each[0].N, State: "review", Device: "0a", ReceivedAt: 104, Raw: raw, Faults: []schema.Fault{}})
		of, err := snap.WaitingOf("0a", 0, 2)
		same(t, "of a device", at(of), err, []int64{4, 2})
		of, err = snap.WaitingOf("0a", of[1].N, 2)
		same(t, "older of a device", at(of), err, []int64{1})
		from, err := snap.WaitingFrom("0a", of[0].N, math.MaxInt64, 1)
		same(t, "from the oldest", len(from), err, 1)
		same(t, "the next", numbers[from[0]], nil, 2)
		counts, err := snap.WaitingCounts(10)
		if err != nil || len(counts) != 2 || counts[0].Device != "0a" || counts[0].Count != 3 || numbers[counts[0].UpTo] != 4 || counts[0].Since != 101 || counts[1].Device != "0b" {
			t.Errorf("counts %+v, %v", counts, err)
		}
		all, err := snap.CountWaiting()
		same(t, "all", all, err, 4)
		var size int64
		for _, one := range []int64{1, 2, 4, 6} {
			_, raw := entry(one, int64(slices.Index([]int64{1, 2, 4, 6}, one)+1), "A", "bed")
			size += int64(len(raw))
		}
		notes, bytes, err := snap.SizeOf("0a", true)
		if notes != 4 || bytes != size || err != nil {
			t.Errorf("%d notes and %d bytes, %v; want 4 and %d", notes, bytes, err, size)
		}
		notes, _, err = snap.SizeOf("0a", false)
		same(t, "undecided", notes, err, 3)
		notes, bytes, err = snap.SizeOf("0d", true)
		same(t, "of nobody", notes+bytes, err, 0)
		return nil
	})
}

func reportsKept(t *testing.T, s journal.Site) {
	full := journal.Report{Device: "0a", At: 100, Pending: 2, Photos: 1, SkewMS: -7, Equal: "equal", EqualTo: 5, EqualAt: 99}
	write(t, s, func(tx journal.Tx) error {
		for inc, high := range []int64{5, 6} {
			if _, err := tx.PutChain("0a", inc+1, journal.Chain{High: high}); err != nil {
				return err
			}
		}
		return errors.Join(tx.PutReport(journal.Report{Device: "0a", At: 1}), tx.PutReport(full), tx.PutReport(journal.Report{Device: "0b"}))
	})
	read(t, s, func(snap journal.Snap) error {
		one, found, err := snap.ReportOf("0a")
		same(t, "report", one, err, full)
		same(t, "found", found, nil, true)
		_, found, err = snap.ReportOf("0A")
		same(t, "of another", found, err, false)
		all, err := snap.Reports()
		counted := full
		counted.Entries = 11
		same(t, "all", all, err, map[string]journal.Report{"0a": counted, "0b": {Device: "0b"}})
		return nil
	})
	scores := func() (all map[string]string) {
		all = map[string]string{}
		read(t, s, func(snap journal.Snap) error {
			return snap.Scores(func(bed string, json []byte) error {
				all[bed] = string(json)
				return nil
			})
		})
		return all
	}
	at := func(measures string) (head int64, found bool) {
		read(t, s, func(snap journal.Snap) (err error) {
			head, found, err = snap.ScoresAt(measures)
			return err
		})
		return head, found
	}
	write(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.PutScores(map[string][]byte{"x": []byte(`{"b":1,"a":1}`), "y": []byte("1")}), tx.PutScores(map[string][]byte{"y": []byte("2")}),
			tx.MarkScores("old", 3), tx.MarkScores("new", 4), tx.MarkScores("new", 5))
	})
	same(t, "scores", scores(), nil, map[string]string{"x": `{"b":1,"a":1}`, "y": "2"})
	if head, found := at("new"); head != 5 || !found {
		t.Errorf("scores at %d, %v", head, found)
	}
	if _, found := at("old"); found {
		t.Error("scores of other measures still hold")
	}
	write(t, s, func(tx journal.Tx) error { return tx.ForgetScores() })
	same(t, "forgotten", len(scores()), nil, 0)
	if _, found := at("new"); found {
		t.Error("scores that were forgotten still hold")
	}
}

func incidentsCounted(t *testing.T, s journal.Site) {
	incidents := func(limit int) (some []schema.Incident, all int) {
		read(t, s, func(snap journal.Snap) (err error) {
			some, all, err = snap.Incidents(limit)
			return err
		})
		return some, all
	}
	write(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.PutIncident("0a", "fork", "first", 10), tx.PutIncident("0a", "fork", "second", 20), tx.PutIncident("", "clock", "it jumped", 30))
	})
	some, all := incidents(10)
	same(t, "incidents", some, nil, []schema.Incident{
		{FirstAt: 30, At: 30, Count: 1, Code: "clock", Detail: "it jumped"}, {FirstAt: 10, At: 20, Count: 2, Device: "0a", Code: "fork", Detail: "second"},
	})
	same(t, "how many", all, nil, 2)
	write(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.EndIncident("", "clock", 40), tx.EndIncident("", "clock", 50))
	})
	some, all = incidents(1)
	if len(some) != 1 || some[0].Code != "fork" || all != 2 {
		t.Errorf("%+v of %d", some, all)
	}
	some, _ = incidents(10)
	same(t, "over at", some[1].OverAt, nil, 40)
	see := func(upTo int64, want bool) {
		t.Helper()
		write(t, s, func(tx journal.Tx) error {
			done, err := tx.SeeIncident("0a", "fork", upTo, 60, "rail")
			same(t, fmt.Sprint("put away as of ", upTo), done, err, want)
			return nil
		})
	}
	see(19, false)
	see(20, true)
	see(20, false)
	if _, all := incidents(10); all != 1 {
		t.Errorf("%d incidents are open", all)
	}
	write(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.PutIncident("0a", "fork", "back", 70), tx.PutIncident("", "clock", "again", 80))
	})
	some, _ = incidents(10)
	same(t, "again", some, nil, []schema.Incident{
		{FirstAt: 30, At: 80, Count: 2, Code: "clock", Detail: "again"}, {FirstAt: 70, At: 70, Count: 1, Device: "0a", Code: "fork", Detail: "back"},
	})
}

// stateRestored takes what an export has of a site out and puts it back, by way of JSON as an export is written.
func stateRestored(t *testing.T, s journal.Site) {
	tables := []string{"registers", "writers", "epochs", "meta"}
	write(t, s, func(tx journal.Tx) error {
		_, err := tx.Register("A")
		_, bad := tx.PutChain("0a", 1, journal.Chain{High: 3, Hash: [32]byte{0xff, 0, 1}})
		return errors.Join(err, bad, tx.PutEpochs([]journal.Epoch{{Epoch: "a", ForkedAt: 4}}), tx.Set("kept", "1"), tx.Set("x", "2"))
	})
	state := func() (all []journal.StateRow) {
		read(t, s, func(snap journal.Snap) error {
			return snap.State(tables, func(one journal.StateRow) error {
				raw, err := json.Marshal(one)
				if err != nil {
					return err
				}
				all = append(all, journal.StateRow{})
				return json.Unmarshal(raw, &all[len(all)-1])
			})
		})
		return all
	}
	before := state()
	if len(before) < 5 {
		t.Fatalf("the state is %+v", before)
	}
	write(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.Empty("writers"), tx.Empty("registers"), tx.Empty("epochs"), tx.Empty("meta", "kept"))
	})
	left := state()
	if len(left) != 1 || left[0].Row["name"] != "kept" {
		t.Fatalf("left is %+v", left)
	}
	write(t, s, func(tx journal.Tx) error {
		for _, table := range tables {
			var rows []journal.StateRow
			for _, one := range before {
				if one.Table == table && one.Row["name"] != "kept" {
					for column, value := range one.Row {
						if number, ok := value.(float64); ok {
							one.Row[column] = json.Number(fmt.Sprint(int64(number)))
						}
					}
					rows = append(rows, one)
				}
			}
			if err := tx.Restore(table, rows); err != nil {
				return err
			}
		}
		return nil
	})
	after := state()
	if got, want := fmt.Sprint(after), fmt.Sprint(before); got != want {
		t.Errorf("restored is %s; want %s", got, want)
	}
	read(t, s, func(snap journal.Snap) error {
		numbers, err := snap.Lots([]string{"A"})
		same(t, "the lot has its number", len(numbers), err, 1)
		return nil
	})
	err := s.Write(t.Context(), func(tx journal.Tx) error {
		return tx.Restore("epochs", []journal.StateRow{{Table: "epochs", Row: map[string]any{"n": json.Number("9"), "epoch": true}}})
	})
	if !errors.Is(err, journal.ErrNotWhole) {
		t.Errorf("a row that is none gave %v", err)
	}
}
