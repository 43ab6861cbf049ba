package journal_test

import (
	"bytes"
	"database/sql"
	"errors"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// trace is a logger's note of two values.
func trace(p *testphone.Phone, n testphone.Nursery) string {
	return p.Note("trace", "", "", schema.Trace{House: n.House, Source: strings.Repeat("ab", 32), Parts: []schema.TracePart{{At: 1, EveryS: 900, DC: []int{41, 38}}}})
}

// olderDigest is what a phone reports whose build makes no records of kinds that came later.
func olderDigest(b *bench, device string, items []schema.Pulled) schema.Digest {
	known := slices.DeleteFunc(slices.Clone(items), func(item schema.Pulled) bool { return bytes.Contains(item.Entry, []byte(`"kind":"trace"`)) })
	d := digestOf(b, device, items)
	d.Records, d.Fold = digestOf(b, device, known).Records, 0
	return d
}

// An older phone keeps a new kind unread, so it makes no record of it. It once heard for ever that it differs.
func TestRecordsAreComparedOnlyWithAPhoneThatFoldsTheSameKinds(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	trace(p, n)
	b.push(p.All(1))
	items := b.pullAll()
	older := olderDigest(b, "b", items)
	if answer := b.compare(older); !answer.Equal || answer.Fold != schema.FoldVersion {
		t.Fatalf("an older phone with the same notes is answered %+v", answer)
	}
	if r := b.reported("b"); r.Equal != journal.OlderApp || b.incidents("digest_differs") != 0 {
		t.Errorf("it is reported as %+v with %d incidents", r, b.incidents("digest_differs"))
	}
	older.Fold = schema.FoldVersion
	if answer := b.compare(older); answer.Equal {
		t.Error("a phone of this build without the record of the new kind is answered as equal")
	}
	short := olderDigest(b, "c", items[:len(items)-1])
	short.Position++
	if answer := b.compare(short); answer.Equal {
		t.Error("an older phone that lacks a note is answered as equal")
	}
	b.equal("d")
}

func TestWhatAnOlderBuildKeptUnreadIsReadByALaterOneAndAfterEachKill(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	first := 0
	b.exec("delete from meta where name = 'fold'")
	b.hooks.Fold = &first
	b.restart()
	n := p.Plant()
	void := func(id string) string {
		return p.Note("void", "", "", schema.Void{Names: id, Records: []string{"trace:" + id}, Why: "mistake"})
	}
	var traces []string
	for range 1100 {
		traces = append(traces, trace(p, n))
	}
	struck := void(traces[3])
	p.Note("unvoid", "", "", schema.Unvoid{Names: struck, Records: []string{"trace:" + traces[3]}})
	void(traces[700])
	// These letters stand within a text too.
	p.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: `the file said "kind":"trace"`})
	for from := 1; from <= len(p.Raw); from += 400 {
		b.push(p.Batch(from, min(from+399, len(p.Raw))))
	}
	// Some are kept as they came, as those of an older file.
	b.exec(`update notes set body = (select bytes from entries e where e.position = notes.position), shape = 0, bed = 0, sitting = 0, walk = 0, wall_by = 0,
		floor_by = 0, mono = 0 where position % 3 = 0`)
	b.sound()
	records := func() (n int) {
		if err := b.db.Read(b.Context(), func(tx *sql.Tx) error {
			return tx.QueryRow("select count(*) from records where key between 'trace:' and 'trace;'").Scan(&n)
		}); err != nil {
			t.Fatal(err)
		}
		return n
	}
	if n := records(); n != 0 {
		t.Fatalf("the older build made %d records of a kind that it does not know", n)
	}
	killed, pages, seen := errors.New("killed"), 0, 0
	b.hooks.Fold, b.hooks.Learned = nil, func() error { return killed }
	for {
		b.stop()
		err := b.opens()
		b.sound()
		if err == nil {
			break
		}
		if pages++; !errors.Is(err, killed) || pages > 10 {
			t.Fatal(err)
		}
		if now := records(); now < seen {
			t.Fatalf("%d records, and %d before", now, seen)
		} else {
			seen = now
		}
	}
	if n := records(); n != len(traces) || pages < 3 {
		t.Errorf("%d records of %d traces, read in %d pages", n, len(traces), pages)
	}
	b.equal("b")
	trace(p, n)
	void(traces[9])
	b.push(p.All(len(p.Raw) - 1))
	b.sound()
	b.equal("b")
}
