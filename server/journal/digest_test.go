package journal_test

import (
	"slices"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
	"bedwalk/sync/fold"
	canon "bedwalk/sync/journal"
)

// digestOf reckons a phone's digest from what it pulled, by itself.
func digestOf(b *bench, device string, items []schema.Pulled) schema.Digest {
	d, err := testphone.Digest(device, b.store.Epoch(), items)
	if err != nil {
		b.Fatal(err)
	}
	return d
}

func (b *bench) compare(d schema.Digest) schema.DigestAnswer {
	b.Helper()
	answer, err := b.store.Compare(b.Context(), d)
	if err != nil {
		b.Fatal(err)
	}
	return answer
}

func (b *bench) reported(device string) journal.Report {
	b.Helper()
	all, err := b.store.Reports(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	return all[device]
}

func TestAPhoneThatHoldsTheSameGetsThatAnswerAndItIsKept(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	p.See(n, 1, 1, 200, 40)
	b.push(p.All(1))
	d := digestOf(b, "b", b.pullAll())
	d.Pending, d.Photos = 3, 2
	if answer := b.compare(d); !answer.Equal || len(answer.Differ) > 0 {
		t.Fatalf("answered %+v", answer)
	}
	if r := b.reported("b"); r.Equal != "equal" || r.EqualTo != 9 || r.Pending != 3 || r.Photos != 2 || r.SkewMS != 1000 {
		t.Fatalf("kept %+v", r)
	}
}

func TestAPushReportsHowFarThePhonesClockIsFromTheServers(t *testing.T) {
	for _, skew := range []int64{7000, 0, -7000} {
		b, p := newBench(t), testphone.New("a")
		p.Plant()
		push := p.All(1)
		push.SentWall, push.Pending = b.clock.UnixMilli()+skew, 4
		b.push(push)
		if r := b.reported("a"); r.SkewMS != skew || r.At != b.clock.UnixMilli() || r.Pending != 4 {
			t.Errorf("a clock that is %d ms ahead is kept as %+v", skew, r)
		}
	}
}

func TestAPageOfOneEntrySaysWhetherThereAreMore(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	for _, after := range []int64{6, 7} {
		page, err := b.store.Pull(t.Context(), "b", b.store.Epoch(), after, 1, "")
		if err != nil || len(page.Items) != 1 || page.More != (after < 7) {
			t.Errorf("after %d of 8: %d items, more: %v, %v", after, len(page.Items), page.More, err)
		}
	}
}

func TestAPhoneIsComparedAsOfItsOwnPosition(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	p.See(n, 1, 1, 200, 40)
	b.push(p.All(1))
	for upTo := range 9 {
		d := digestOf(b, "b", b.pullAll()[:upTo])
		if answer := b.compare(d); !answer.Equal || answer.Head != 9 {
			t.Fatalf("at position %d: answered %+v", upTo, answer)
		}
	}
}

func TestADifferenceIsNamedByLotAndFiledOnce(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	p.See(n, 1, 1, 200, 40)
	b.push(p.All(1))
	whole := b.pullAll()
	lacking := append([]schema.Pulled(nil), whole[:7]...)
	lacking = append(lacking, whole[8])
	d := digestOf(b, "b", lacking)
	for range 3 {
		if answer := b.compare(d); answer.Equal || len(answer.Differ) != 1 || answer.Differ[0] != "" {
			t.Fatalf("answered %+v, want the entries of no lot to differ", answer)
		}
	}
	if b.incidents("digest_differs") != 1 || b.reported("b").Equal != "differs" {
		t.Fatalf("%d incidents, kept %+v", b.incidents("digest_differs"), b.reported("b"))
	}
	twice := digestOf(b, "b", append(append([]schema.Pulled(nil), whole...), whole[8], whole[8]))
	twice.Position = 9
	answer := b.compare(twice)
	if answer.Equal || answer.Differ[0] != n.Lot {
		t.Fatalf("an entry counted three times was not noticed: %+v", answer)
	}
	// What the server has of the lot, by which a phone proves what it reads again.
	own := digestOf(b, "b", whole).Lots
	if i := slices.IndexFunc(own, func(l schema.LotDigest) bool { return l.Lot == n.Lot }); len(answer.Lots) != 1 || answer.Lots[0] != own[i] {
		t.Fatalf("the server has %+v of the lot that differs, want %+v", answer.Lots, own[i])
	}
	if answer := b.compare(digestOf(b, "b", whole)); !answer.Equal || b.incidents("digest_differs") != 0 {
		t.Fatalf("mended, but answered %+v", answer)
	}
}

func TestRecordsMadeOtherwiseFromTheSameNotesAreNoticed(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	d := digestOf(b, "b", b.pullAll())
	d.Records = fold.Total(canon.Sum{1})
	if answer := b.compare(d); answer.Equal || len(answer.Differ) > 0 {
		t.Fatalf("answered %+v, want unequal with no lot to blame", answer)
	}
}

func TestAPullComesInPagesOfWhichTheFirstIsSmall(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	for range 250 {
		p.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "<&> as written"})
	}
	b.push(p.All(1))
	first, err := b.store.Pull(t.Context(), "b", "", 0, 0, "")
	if err != nil || len(first.Items) != journal.FirstPage || !first.More || first.Head != 258 {
		t.Fatalf("the first page has %d items, more %v, head %d, %v", len(first.Items), first.More, first.Head, err)
	}
	rest, err := b.store.Pull(t.Context(), "b", first.Epoch, 100, 5000, "")
	if err != nil || len(rest.Items) != 158 || rest.More {
		t.Fatalf("the second page has %d items, more %v, %v", len(rest.Items), rest.More, err)
	}
	if string(rest.Items[157].Entry) != string(p.Raw[257]) {
		t.Fatal("an entry came back with other bytes")
	}
	if empty, err := b.store.Pull(t.Context(), "b", first.Epoch, 258, 0, ""); err != nil || len(empty.Items) != 0 || empty.More {
		t.Fatalf("nothing to do gave %+v, %v", empty, err)
	}
}

// A proxy or a bad link may bring a request minutes after the phone has given up on it, and told the server more by then.
func TestWhatComesLateHidesNoNewerReportOfAPhone(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	early := digestOf(b, "a", b.pullAll())
	early.Pending, early.SentWall = 2, b.clock.UnixMilli()
	b.compare(early)
	b.clock = b.clock.Add(time.Minute)

	from := len(p.Raw) + 1
	p.See(n, 1, 1, 200, 40)
	second := p.All(from)
	second.Pending, second.SentWall = 1, b.clock.UnixMilli()
	b.push(second)
	b.clock = b.clock.Add(time.Minute)
	now := digestOf(b, "a", b.pullAll())
	now.Pending, now.SentWall = 1, b.clock.UnixMilli()
	b.compare(now)
	b.clock = b.clock.Add(time.Minute)
	now.Pending, now.SentWall = 0, b.clock.UnixMilli()
	b.compare(now)
	want := b.reported("a")
	if want.EqualTo != now.Position || want.Pending != 0 || want.Equal != "equal" {
		t.Fatalf("kept %+v", want)
	}

	b.clock = b.clock.Add(2 * time.Minute)
	if answer := b.compare(early); !answer.Equal {
		t.Errorf("a digest of an earlier position was answered %+v", answer)
	}
	b.push(second)
	same := now
	same.Pending, same.SentWall = 1, now.SentWall-time.Minute.Milliseconds()
	b.compare(same)
	if got := b.reported("a"); got != want {
		t.Errorf("kept %+v\nwant %+v", got, want)
	}

	// A clock that was set back makes nothing late.
	same.Pending, same.SentWall = 3, now.SentWall-365*24*time.Hour.Milliseconds()
	b.compare(same)
	if got := b.reported("a"); got.Pending != 3 {
		t.Errorf("kept %+v of a phone whose clock was set back, want 3 notes waiting", got)
	}
}
