package bed

import "testing"

// BenchmarkScore is a walk of 60 pots over two lots, with everything looked at.
func BenchmarkScore(b *testing.B) {
	in := walked(testBed(testLot("a", 1, 60), testLot("b", 61, 100)), 1, 60, heads(seeded(1), 300, 0.08, even))
	for i := range in.Pots {
		o := &in.Pots[i].Now
		o.Buds, o.RootCover, o.RootLife, o.Chlorosis = whole(30+i%11), whole(4), whole(4), text("none")
	}
	b.Run("whole", func(b *testing.B) {
		for b.Loop() {
			Score(in)
		}
	})
	b.Run("the phone's part", func(b *testing.B) {
		for b.Loop() {
			Measure(in)
		}
	})
}
