package journal_test

import (
	"path/filepath"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

// BenchmarkPush is the store's part of a push of 500 observations: read, checked, stamped, chained, merged, folded and
// committed. One operation is one note.
func BenchmarkPush(b *testing.B) {
	const size = 500
	p := testphone.New("a")
	n := p.Plant()
	pushes := []schema.Push{p.All(1)}
	for from := 9; len(pushes) <= b.N/size+1; from += size {
		for i := range size {
			p.See(n, 1+i%10, 1+i%5, 150+i%100, i%60)
		}
		pushes = append(pushes, p.All(from))
	}
	d, err := db.Open(b.Context(), db.Options{Path: filepath.Join(b.TempDir(), db.File)})
	if err != nil {
		b.Fatal(err)
	}
	defer d.Close()
	s, err := journal.Open(b.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir()})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	b.ReportAllocs()
	b.ResetTimer()
	for _, push := range pushes {
		if _, err := s.Push(b.Context(), push, journal.Sender{Device: "a"}); err != nil {
			b.Fatal(err)
		}
	}
}
