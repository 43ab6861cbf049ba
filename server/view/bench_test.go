package view_test

import "testing"

func BenchmarkBedsUnchanged(b *testing.B) {
	d, err := grown()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := d.Beds(b.Context(), ""); err != nil {
			b.Fatal(err)
		}
	}
}
