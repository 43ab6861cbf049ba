package supply

import (
	"testing"

	"bedwalk/fixtures/checks"
)

func rooting(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Rooted, Struck int
		Looked         int `json:"looked_at"`
	}](t, c.Inputs)
	want := checks.Read[struct {
		Mean, Share *float64
		Low, High   *int
	}](t, c.Expected)
	got, known := Rooted(in.Rooted, in.Looked, in.Struck)
	if known != (want.Mean != nil) {
		t.Fatalf("known: %v", known)
	}
	if !known {
		return
	}
	c.Near(t, "mean", got.Mean(), *want.Mean)
	if low, high := got.Quantile(Risk), got.Quantile(1-Risk); low != *want.Low || high != *want.High {
		t.Errorf("%d to %d, want %d to %d", low, high, *want.Low, *want.High)
	}
}

func TestCuttingsThatWereLookedAtAreNotGuessed(t *testing.T) {
	if got, known := Rooted(60, 72, 72); !known || got.Low != 60 || len(got.P) != 1 {
		t.Errorf("all looked at: %v %v", got, known)
	}
	if _, known := Rooted(60, 72, 71); known {
		t.Error("more were looked at than were stuck, and a number was given")
	}
}
